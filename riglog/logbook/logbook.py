"""The front door: make, open, read and append to a library file."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Self

from riglog.logbook.entry import Draft, Entry, Envelope, now
from riglog.logbook.index import Index
from riglog.logbook.opening import open_database
from riglog.logbook.reads import Reader

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path
    from types import TracebackType

    from riglog.logbook.transfer.bundling import Bundled, Choice
    from riglog.logbook.transfer.merge import Plan
    from riglog.logbook.transfer.staging import Staged

_INSERT = """
INSERT INTO entries (id, kind, subject, at, author, parents, body) VALUES (?, ?, ?, ?, ?, ?, ?)"""
_SEQ = "SELECT seq FROM entries WHERE id = ?"
_CHOOSE = """
INSERT INTO choices (author, build, at) VALUES (?, ?, ?)
ON CONFLICT (author) DO UPDATE SET build = excluded.build, at = excluded.at"""


class Logbook(Reader):
    """A library file.

    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> body = {"id": "lens-35", "kind": "lens", "mass": 1.12}
    >>> at = "2026-03-14T09:10:00+01:00"
    >>> draft = Draft(kind="component", subject="lens-35", at=at, author="north", body=body)
    >>> with TemporaryDirectory() as folder, Logbook.create(Path(folder, "kit.rig")) as logbook:
    ...     with logbook.writing() as log:
    ...         (entry,) = log.append([draft])
    ...     [head.body["mass"] for head in logbook.heads("component", "lens-35")]
    [1.12]
    """

    @classmethod
    def create(cls, path: Path) -> Self:
        """Make a library, or leave the one that is there as it is, and open it for writing.

        Raises
        ------
        LibraryError
            If the folder cannot be written, or something else stands in that place.
        BusyError
            If there is no room.
        """
        from riglog.logbook.creation import create

        create(path)
        return cls.open(path, write=True)

    @classmethod
    def open(cls, path: Path, *, write: bool = False) -> Self:
        """Open a library; only for reading, unless told.

        Raises
        ------
        LibraryError
            If there is none, it is not ours, newer, damaged, or altered in its schema.
        BusyError
            If somebody else keeps it locked.
        """
        return cls(open_database(path, write=write))

    @contextmanager
    def snapshot(self) -> Iterator[Reader]:
        """Every read inside sees the same state of the log. Keep it short: writers wait."""
        with self._database.snapshot():
            yield self

    @contextmanager
    def writing(self) -> Iterator[Transaction]:
        """All or nothing; reads inside see what it wrote. On return it is safe on the disk.

        Raises
        ------
        BusyError
            If somebody else is writing for more than five seconds, or there is no room.
        LibraryError
            If file or folder cannot be written.
        """
        with self._database.writing():
            yield Transaction(self._database)

    def merge(self, staged: Staged) -> Plan:
        """Take in what lies staged, all of it or nothing; what that brought.

        Raises
        ------
        DocumentError
            With all that is wrong with what is staged.
        BusyError, LibraryError
            As ``writing``.
        """
        from riglog.logbook.transfer import merge

        database = self._database
        with merge.beside(database, staged), database.writing(), merge.vouched(database, staged):
            plan = merge.plan(database, staged, now())
            merge.take_in(database)
        return plan

    def merge_plan(self, staged: Staged) -> Plan:
        """What ``merge`` would bring; raises as it does."""
        from riglog.logbook.transfer import merge

        database = self._database
        with merge.beside(database, staged), database.snapshot(), merge.vouched(database, staged):
            return merge.plan(database, staged, now())

    def bundle(self, target: Path, choice: Choice) -> Bundled:
        """Write a part of the log, or all of it, to a bundle.

        Raises
        ------
        CallError
            If it cannot be written there, or an earlier bundle cannot be read.
        BusyError
            If there is no room.
        """
        from riglog.logbook.transfer import bundling

        with self._database.snapshot():
            return bundling.write_bundle(self._database, target, choice)

    def backup(self, target: Path) -> None:
        """Copy the library to a new file, and check the copy.

        Raises
        ------
        CallError
            If something stands in that place, or it cannot be written.
        BusyError
            If there is no room.
        LibraryError
            If the library is damaged.
        """
        from riglog.logbook.backup import backup

        backup(self._database, target)

    def close(self) -> None:
        """Close the file."""
        self._database.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()


class Transaction(Reader):
    """What can be written, and everything that can be read, within one write."""

    def append(self, drafts: Iterable[Draft]) -> list[Entry]:
        """Append entries, all or none, parents before children; answer with the entries.

        A draft that equals an entry of the log is not appended again; the answer is that entry.

        Raises
        ------
        NotFoundError
            If a parent is neither in the log nor earlier among the drafts.
        ValueError
            If a body cannot be written as canonical JSON.
        """
        index = Index(self._database)
        with self._database.part():
            entries = [self._append(draft.envelope, index) for draft in drafts]
            index.finish()
        return entries

    def _append(self, envelope: Envelope, index: Index) -> Entry:
        entry_id = envelope.id
        if row := self._database.row(_SEQ, (entry_id,)):
            return Entry.of(row[0], entry_id, envelope)
        seq = self._database.run(_INSERT, (entry_id, *envelope))
        entry = Entry.of(seq, entry_id, envelope)
        index.file(entry)
        return entry

    def choose(self, author: str, build: str) -> None:
        """Note which build an author means when none is named; no part of the log."""
        self._database.run(_CHOOSE, (author, build, now()))
