"""Bundles and other libraries, read in full, beside the library that they are to go into.

Nothing stays in a library unless all that it is to take in was found to be sound. What was read
lies meanwhile in a file of its own, so that it need not fit into memory, and is what is looked at
and merged even if somebody changes its source.
"""

from __future__ import annotations

from collections import defaultdict
from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, DocumentError, Finding, LibraryError, quoted
from riglog.logbook.connection import workplace
from riglog.logbook.fingerprint import fingerprint
from riglog.logbook.opening import open_log
from riglog.logbook.transfer import bundle
from riglog.logbook.transfer.bundle import NOTHING, BrokenError, BundleReader
from riglog.logbook.transfer.bundling import SUFFIX

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence
    from contextlib import AbstractContextManager

    from riglog.logbook.connection import Database
    from riglog.logbook.transfer.bundle import Line
    from riglog.logbook.transfer.vetting import Flaw, Vetted

    Vetting = Callable[[Path], AbstractContextManager[Callable[[], Vetted]]]

_SHOWN = 100
_NAMED = 3
# Without types: it holds whatever was read.
_TABLE = """
CREATE TABLE staged (
    place INTEGER PRIMARY KEY, source, number, id, kind, subject, at, author, parents, body
)"""
_INDEX = "CREATE INDEX IF NOT EXISTS staged_by_id ON staged (id)"
_NO_LIBRARY = "CREATE TABLE library.entries (id, kind, subject, at, author, parents, body)"
_LINE = """
SELECT :number AS number, :id AS id, :kind AS kind, :subject AS subject, :at AS at,
    :author AS author, :parents AS parents, :body AS body"""
_LOG = """
SELECT seq AS number, id, kind, subject, at, author, parents, body FROM other.entries
ORDER BY seq"""
# What is here already is left out. One that says something else under the same id is not the same,
# and will not be found sound.
_STAGE = """
INSERT INTO staged (source, number, id, kind, subject, at, author, parents, body)
SELECT :source, n.* FROM ({rows}) AS n
WHERE NOT EXISTS (
    SELECT 1 FROM library.entries AS e WHERE e.id = n.id
    AND (e.kind, e.subject, e.at, e.author, e.parents, e.body)
        = (n.kind, n.subject, n.at, n.author, n.parents, n.body)
)"""
_STAGE_LINE = _STAGE.format(rows=_LINE)
_STAGE_LOG = _STAGE.format(rows=_LOG)
_STAGED_BEFORE = """
DELETE FROM staged AS n WHERE source = ? AND EXISTS (
    SELECT 1 FROM staged AS e WHERE e.id = n.id AND e.place < n.place
    AND (e.kind, e.subject, e.at, e.author, e.parents, e.body)
        = (n.kind, n.subject, n.at, n.author, n.parents, n.body)
)"""
_COLUMNS = ("id", "kind", "subject", "at", "author", "parents", "body")
_SCAN = "SELECT count(*), sum(length(body)) FROM entries"
_THERE = "SELECT 1 FROM main.entries WHERE id = ?"
_LIBRARY = b"SQLite format 3\x00"
_START = bundle.START[:15]
_MEND = "update riglog if another one wrote it, else get it again"


class Source(NamedTuple):
    """A bundle or a library that was read: how many entries it has, and its fingerprint."""

    path: Path
    entries: int
    fingerprint: str


class Staged(NamedTuple):
    """The file that holds what is new to a library, where it is from, and what was found in it.

    ``vetted`` waits until all of it was looked at. ``left_out`` tells what of the sources is not
    in the file, because it is not sound or rests on what is not.
    """

    path: Path
    sources: tuple[Source, ...]
    vetted: Callable[[], Vetted]
    left_out: tuple[Finding, ...] = ()

    def check(self, database: Database) -> None:
        """Refuse what is not sound, or rests on entries that are neither in it nor in a library.

        Raises
        ------
        DocumentError
            With all that is wrong.
        """
        vetted = self.vetted()
        if vetted.flaws:
            raise _refused(told(self.sources, vetted.flaws))
        lacking: dict[int, list[str]] = defaultdict(list)
        for source, needed in vetted.lacking:
            if database.row(_THERE, (needed,)) is None:
                lacking[source].append(needed)
        if lacking:
            raise DocumentError(
                "what was to be merged rests on entries that are not here: nothing was merged",
                hint="merge it together with what it was made after",
                findings=tuple(_incomplete(self.sources[n], ids) for n, ids in lacking.items()),
            )


def sources_of(paths: Sequence[Path]) -> list[Path]:
    """The files that are meant: those named, and of a folder the bundles in it.

    Raises
    ------
    CallError
        If there is no such file, or a folder without bundles.
    """
    found = [each for path in paths for each in _files(path)]
    return list(dict.fromkeys(found))


def _files(path: Path) -> list[Path]:
    if not path.is_dir():
        if not path.exists():
            raise CallError(f"there is no file {str(path)!r}", hint="name a bundle or a library")
        return [path]
    if found := sorted(each for each in path.iterdir() if each.suffix == SUFFIX):
        return found
    raise CallError(f"there are no bundles in {str(path)!r}", hint=f"they end in {SUFFIX}")


@contextmanager
def staged(paths: Sequence[Path], library: Path | None, vetting: Vetting) -> Iterator[Staged]:
    """Read bundles and libraries; the file with their entries is there for the block.

    Parameters
    ----------
    library
        What they are to go into; None where that is not there yet.
    vetting
        Begins to look at all that is staged.

    Raises
    ------
    DocumentError
        With all that is wrong, if something is no bundle.
    CallError
        If one cannot be read, or is neither bundle nor library.
    LibraryError
        If a library cannot be opened.
    """
    with TemporaryDirectory() as folder:
        place = Path(folder, "staging.db")
        with gathering(place, library) as database:
            staging = Staging(database)
            sources = staging.read_all(paths)
        with vetting(place) as vetted:
            if staging.findings:
                raise _refused([*staging.findings, *told(sources, vetted().flaws)])
            yield Staged(place, sources, vetted)


@contextmanager
def gathering(place: Path, library: Path | None) -> Iterator[Database]:
    """The file in which entries are staged, from which is seen what the library has."""
    with closing(workplace(place)) as database:
        if library is not None:
            database.attach(library, "library")
        else:
            database.run("ATTACH ':memory:' AS library")
            database.run(_NO_LIBRARY)
        yield database


def told(sources: Sequence[Source], flaws: Iterable[Flaw]) -> list[Finding]:
    """What is wrong with entries, each where it stands in its source."""
    return [
        Finding(
            str(sources[flaw.source].path), flaw.number,
            f"the entry on {quoted(flaw.subject)}: {flaw.what}", _MEND,
        )
        for flaw in flaws
    ]  # fmt: skip


def _refused(findings: Sequence[Finding]) -> DocumentError:
    count = "1 thing is" if len(findings) == 1 else f"{len(findings)} things are"
    return DocumentError(
        f"{count} wrong with what was to be merged: nothing was merged",
        hint="what is sound of a damaged library can be had: riglog merge --rescue",
        findings=tuple(sorted(findings)[:_SHOWN]),
    )


def _incomplete(source: Source, needed: list[str]) -> Finding:
    named = ", ".join(each[:8] for each in needed[:_NAMED])
    many = f"{len(needed)} entries, such as {named}, which are"
    count = f"entry {named}, which is" if len(needed) == 1 else many
    mend = "merge the bundle before it too, or one of the whole library"
    return Finding(str(source.path), 0, f"rests on {count} neither here nor in it", mend)


class Staging:
    """Where entries from elsewhere are put.

    Attributes
    ----------
    findings : list of Finding
        What is wrong with bundles by their lines.
    """

    def __init__(self, database: Database) -> None:
        self._database = database
        self.findings: list[Finding] = []
        database.run(_TABLE)

    def read_all(self, paths: Sequence[Path]) -> tuple[Source, ...]:
        """Put the entries of several bundles and libraries there; what each is."""
        return tuple(self.read(number, path) for number, path in enumerate(paths))

    def read(self, number: int, path: Path) -> Source:
        """Put the entries of one bundle or library there."""
        source = self._read(number, path)
        self._database.run(_INDEX)
        if number:
            self._database.run(_STAGED_BEFORE, (number,))
        return source

    def _read(self, number: int, path: Path) -> Source:
        try:
            with path.open("rb") as stream:
                start = stream.read(len(_LIBRARY))
        except OSError as error:
            raise CallError(f"cannot read {str(path)!r}: {error.strerror}") from error
        if start == _LIBRARY:
            return self._library(number, path)
        if start.startswith(_START):
            return self._bundle(number, path)
        hint = "name what riglog bundle wrote, or a library"
        raise CallError(f"{str(path)!r} is neither a bundle nor a library", hint=hint)

    def put(self, source: int, number: int, columns: Sequence[object]) -> None:
        """Put one entry there by its columns from the id on, whatever they hold."""
        row = dict(zip(_COLUMNS, columns, strict=True))
        self._database.run(_STAGE_LINE, {"source": source, "number": number, **row})

    def _bundle(self, number: int, path: Path) -> Source:
        with path.open("rb") as stream, self._database.writing():
            reader = BundleReader(stream, str(path))
            try:
                manifest = reader.manifest()
                rows = (_row(number, line) for line in reader.entries())
                self._database.run_many(_STAGE_LINE, rows)
            except BrokenError as error:
                self.findings.append(error.finding)
                manifest = NOTHING
        self.findings.extend(reader.findings)
        return Source(path, manifest.entries, manifest.fingerprint)

    def _library(self, number: int, path: Path) -> Source:
        with closing(open_log(path)) as library, library.snapshot():
            found = fingerprint(library)  # from this first read on nobody else writes
            self._database.attach(path, "other")
            try:
                self._database.run(_STAGE_LOG, {"source": number})
            except LibraryError:
                library.rows(_SCAN)  # it tells which library is damaged
                raise
            finally:
                self._database.run("DETACH other")
        return Source(path, found.entries, str(found))


def _row(source: int, line: Line) -> dict[str, object]:
    return {"source": source, "number": line.number, "id": line.id, **line.envelope._asdict()}
