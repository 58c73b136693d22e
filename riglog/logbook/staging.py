"""Bundles and other libraries, read in full and checked, beside the library they are to go into.

Nothing is written to a library before all that it is to take in was found to be sound; what was
read lies meanwhile in a file of its own, so that it need not fit into memory, and is what is merged
even if somebody changes its source.
"""

from __future__ import annotations

from collections import defaultdict
from contextlib import ExitStack, contextmanager
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, DocumentError, Finding, quoted
from riglog.logbook import bundle
from riglog.logbook.bundle import NOTHING, BrokenError, BundleReader
from riglog.logbook.bundling import SUFFIX
from riglog.logbook.connection import workplace
from riglog.logbook.entry import Envelope
from riglog.logbook.fingerprint import fingerprint
from riglog.logbook.foreign import checked
from riglog.logbook.opening import open_database

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.logbook.connection import Database
    from riglog.logbook.foreign import Checked, Fault

    _Named = tuple[str, Checked]

_BLOCK = 1000
_SHOWN = 100
_NAMED = 3
_TABLES = (
    """
    CREATE TABLE staged (
        place INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE,
        kind TEXT NOT NULL,
        subject TEXT NOT NULL,
        at TEXT NOT NULL,
        author TEXT NOT NULL,
        parents TEXT NOT NULL,
        body TEXT NOT NULL,
        source INTEGER NOT NULL
    ) STRICT""",
    "CREATE TABLE needs (id TEXT NOT NULL, needed TEXT NOT NULL) STRICT",
)
_STAGE = """
INSERT OR IGNORE INTO staged (id, kind, subject, at, author, parents, body, source)
SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8
WHERE NOT EXISTS (SELECT 1 FROM library.entries WHERE id = ?1)"""
_LACKING = """
SELECT s.source, n.needed FROM needs AS n CROSS JOIN staged AS s ON s.id = n.id
WHERE NOT EXISTS (SELECT 1 FROM staged WHERE id = n.needed)
    AND NOT EXISTS (SELECT 1 FROM library.entries WHERE id = n.needed)"""
_ENTRIES = "SELECT * FROM entries ORDER BY seq"
_LIBRARY = b"SQLite format 3\x00"
_START = bundle.START[:15]
_MEND = "update riglog if another one wrote it, else get it again"
_NEED = "INSERT INTO needs VALUES (?, ?)"


class Source(NamedTuple):
    """A bundle or a library that was read: how many entries it has, and its fingerprint."""

    path: Path
    entries: int
    fingerprint: str


class Staged(NamedTuple):
    """The file that holds what is new to a library, and where it is from."""

    path: Path
    sources: tuple[Source, ...]


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
def staged(paths: Sequence[Path], library: Path | None, fault: Fault) -> Iterator[Staged]:
    """Read and check bundles and libraries; the file with their entries is there for the block.

    Parameters
    ----------
    library
        What they are to go into; None where that is not there yet.
    fault
        Tells what is wrong with what an entry says.

    Raises
    ------
    DocumentError
        With all that is wrong in any of them.
    CallError
        If one cannot be read, or is neither bundle nor library.
    LibraryError
        If a library cannot be opened.
    """
    with TemporaryDirectory() as folder, ExitStack() as opened:
        place = Path(folder, "staging.db")
        database = workplace(place)
        opened.callback(database.close)
        _attach(database, library)
        staging = _Staging(database, fault)
        with database.writing():
            sources = tuple(staging.read(number, path) for number, path in enumerate(paths))
        if staging.findings:
            raise _refused(staging.findings)
        _check_complete(database, sources)
        opened.close()
        yield Staged(place, sources)


def _attach(database: Database, library: Path | None) -> None:
    """Let what the library has be seen, or that there is none."""
    if library is not None:
        database.attach(library, "library")
        return
    database.run("ATTACH ':memory:' AS library")
    database.run("CREATE TABLE library.entries (id TEXT PRIMARY KEY)")


def _refused(findings: Sequence[Finding]) -> DocumentError:
    count = "1 thing is" if len(findings) == 1 else f"{len(findings)} things are"
    return DocumentError(
        f"{count} wrong with what was to be merged: nothing was merged",
        findings=tuple(sorted(findings)[:_SHOWN]),
    )


def _check_complete(database: Database, sources: Sequence[Source]) -> None:
    """Refuse entries that rest on others which are neither in the library nor among them."""
    lacking: dict[int, dict[str, None]] = defaultdict(dict)
    for source, needed in database.each(_LACKING):
        lacking[source][needed] = None
    if lacking:
        raise DocumentError(
            "what was to be merged rests on entries that are not here: nothing was merged",
            hint="merge it together with what it was made after",
            findings=tuple(_incomplete(sources[n], list(ids)) for n, ids in lacking.items()),
        )


def _incomplete(source: Source, needed: list[str]) -> Finding:
    named = ", ".join(each[:8] for each in needed[:_NAMED])
    many = f"{len(needed)} entries, such as {named}, which are"
    count = f"entry {named}, which is" if len(needed) == 1 else many
    mend = "merge the bundle before it too, or one of the whole library"
    return Finding(str(source.path), 0, f"rests on {count} neither here nor in it", mend)


class _Staging:
    """Where entries from elsewhere are put once each was checked."""

    def __init__(self, database: Database, fault: Fault) -> None:
        self._database = database
        self._fault = fault
        self.findings: list[Finding] = []
        for statement in _TABLES:
            database.run(statement)

    def read(self, number: int, path: Path) -> Source:
        """Put the entries of one bundle or library there."""
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

    def _bundle(self, number: int, path: Path) -> Source:
        with path.open("rb") as stream:
            reader = BundleReader(stream, str(path))
            try:
                manifest = reader.manifest()
                self._take(number, self._of_bundle(reader, str(path)))
            except BrokenError as error:
                self.findings.append(error.finding)
                manifest = NOTHING
        self.findings.extend(reader.findings)
        return Source(path, manifest.entries, manifest.fingerprint)

    def _of_bundle(self, reader: BundleReader, file: str) -> Iterator[_Named]:
        for line in reader.entries():
            try:
                yield line.id, checked(line.id, line.envelope, self._fault)
            except ValueError as error:
                self._note(file, line.number, line.envelope, error)

    def _library(self, number: int, path: Path) -> Source:
        database = open_database(path, write=False)
        try:
            with database.snapshot():
                self._take(number, self._of_library(database, str(path)))
                found = fingerprint(database)
        finally:
            database.close()
        return Source(path, found.entries, str(found))

    def _of_library(self, database: Database, file: str) -> Iterator[_Named]:
        for seq, entry_id, *columns in database.each(_ENTRIES):
            envelope = Envelope(*columns)
            try:
                yield entry_id, checked(entry_id, envelope, self._fault)
            except (TypeError, ValueError) as error:
                self._note(file, seq, envelope, error)

    def _note(self, file: str, number: int, envelope: Envelope, error: Exception) -> None:
        what = f"the entry on {quoted(str(envelope.subject))}: {error}"
        self.findings.append(Finding(file, number, what, _MEND))

    def _take(self, source: int, entries: Iterator[_Named]) -> None:
        while block := list(islice(entries, _BLOCK)):
            rows = ((name, *found.envelope, source) for name, found in block)
            self._database.run_many(_STAGE, rows)
            needs = ((name, needed) for name, found in block for needed in found.needs)
            self._database.run_many(_NEED, needs)
