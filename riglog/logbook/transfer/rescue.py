"""What is sound of damaged libraries, to be merged without the rest."""

from __future__ import annotations

from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from riglog.errors import DocumentError, Finding, quoted
from riglog.logbook.auditing.salvage import filled_up, pages_missing
from riglog.logbook.auditing.walk import every_row
from riglog.logbook.opening import open_log
from riglog.logbook.transfer.staging import Source, Staged, Staging, gathering, told
from riglog.logbook.transfer.vetting import Vetted, vet

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.logbook.connection import Database
    from riglog.logbook.transfer.foreign import Fault
    from riglog.logbook.transfer.vetting import Flaw

_REMOVE = "DELETE FROM staged WHERE place = ?"
_KNOWN = """
SELECT 1 FROM staged WHERE id = :id UNION ALL SELECT 1 FROM library.entries WHERE id = :id"""
# What rests on entries that are nowhere goes, and then what rests on that.
_UNSUPPORTED = """
DELETE FROM staged AS s WHERE EXISTS (
    SELECT 1 FROM (
        SELECT value AS id FROM json_each(s.parents)
        UNION ALL
        SELECT s.body ->> '$.stand.version' WHERE s.kind = 'reading'
    ) AS n
    WHERE NOT EXISTS (SELECT 1 FROM staged AS o WHERE o.id = n.id)
        AND NOT EXISTS (SELECT 1 FROM library.entries AS e WHERE e.id = n.id)
) RETURNING source, number, subject"""


@contextmanager
def rescued(paths: Sequence[Path], library: Path | None, fault: Fault) -> Iterator[Staged]:
    """Read bundles and libraries, however damaged these are; the sound entries for the block.

    A bundle is whole or nothing: that a line was changed shows in its last line alone.

    Parameters
    ----------
    library
        What they are to go into; None where that is not there yet.
    fault
        Tells what is wrong with what an entry says.

    Raises
    ------
    DocumentError
        If a bundle is damaged.
    CallError
        If a file cannot be read, or is neither bundle nor library.
    LibraryError
        If too little is left of a library to read it.
    """
    with TemporaryDirectory() as folder:
        place = Path(folder, "staging.db")
        with gathering(place, library) as database:
            staging = _Rescuing(database)
            sources = staging.read_all(paths)
            if staging.findings:
                raise DocumentError(
                    "a bundle is damaged: nothing was merged", findings=tuple(staging.findings)
                )
        flaws = vet(place, fault).flaws
        with gathering(place, library) as database:
            left_out = [*staging.unread, *_leave_out(database, sources, flaws)]
        yield Staged(place, sources, lambda: Vetted([], []), tuple(sorted(left_out)))


class _Rescuing(Staging):
    """Takes a library row by row, as far as that goes.

    Attributes
    ----------
    unread : list of Finding
        Entries that cannot be read.
    """

    def __init__(self, database: Database) -> None:
        super().__init__(database)
        self.unread: list[Finding] = []

    def _library(self, number: int, path: Path) -> Source:
        with _readable(path) as file, closing(open_log(file)) as library, library.snapshot():
            count = 0
            for seq, row in every_row(library):
                if row is None:
                    self.unread.append(Finding(str(path), seq, "cannot be read"))
                    continue
                self.put(number, seq, row[1:])
                count += 1
        return Source(path, count, "")


@contextmanager
def _readable(path: Path) -> Iterator[Path]:
    """The file; of one whose end is missing, a copy that can be read as far as it goes."""
    if pages_missing(path):
        with filled_up(path) as copy:
            yield copy
    else:
        yield path


def _leave_out(
    database: Database, sources: Sequence[Source], flaws: Sequence[Flaw]
) -> Iterator[Finding]:
    """Take out of what is staged what is not sound, and all that rests on what is nowhere."""
    with database.writing():
        database.run_many(_REMOVE, [(flaw.place,) for flaw in flaws])
        # One that is sound in another place is not lost.
        lost = [flaw for flaw in flaws if database.row(_KNOWN, {"id": flaw.id}) is None]
        yield from (each._replace(mend="") for each in told(sources, lost))
        while gone := database.rows(_UNSUPPORTED):
            yield from (_unsupported(sources, *row) for row in gone)


def _unsupported(sources: Sequence[Source], source: int, number: int, subject: Any) -> Finding:
    what = f"the entry on {quoted(str(subject))}: it rests on an entry that is damaged or missing"
    return Finding(str(sources[source].path), number, what)
