"""One connection to a library file, and the one border where SQLite's errors become ours.

Durable by a rollback journal with ``synchronous=EXTRA``: in simulated power cuts that lost nothing
that was acknowledged, and it needs no side files while nobody writes. Writers begin with
``BEGIN IMMEDIATE``: a transaction that reads first and asks for the lock later dies as locked, in
spite of every timeout.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, suppress
from functools import partial
from pathlib import Path
from typing import Any

from riglog.errors import LibraryError
from riglog.logbook.faults import translated

Values = Sequence[Any] | Mapping[str, Any]

TIMEOUT_S = 5.0

_ALWAYS = ("trusted_schema=OFF", "cell_size_check=ON")
_READS = ("query_only=ON",)
# What the smallest page of SQLite takes.
_LEAST_BYTES = 512
_WRITES = ("foreign_keys=ON", "journal_mode=DELETE", "synchronous=EXTRA")


def connect(path: Path, *, write: bool) -> Database:
    """A connection to a file that is there, for reading or for writing too."""
    # A reader too opens for writing where it can: only so is an interrupted write undone before it
    # reads. On a read-only file SQLite itself falls back to reading.
    uri = f"{path.absolute().as_uri()}?mode=rw"
    return Database(uri, path, (*_ALWAYS, *(_WRITES if write else _READS)))


def scratch() -> Database:
    """A connection to a database in temporary space, gone when it is closed."""
    return Database("", Path("temporary"), _ALWAYS)


def workplace(path: Path) -> Database:
    """A connection to a file beside the library, of which nobody asks that it lasts.

    It is made if it is not there. A text in it that is none comes back as one that cannot be
    written: nobody has looked at it yet.
    """
    uri = f"{path.absolute().as_uri()}?mode=rwc"
    database = Database(uri, path, (*_ALWAYS, "journal_mode=OFF", "synchronous=OFF"))
    database.take_texts(partial(str, encoding="utf-8", errors="surrogateescape"))
    return database


class Database:
    """A connection whose errors are ours. Nothing else in the program sees one of SQLite's."""

    def __init__(self, uri: str, path: Path, pragmas: Iterable[str]) -> None:
        self.path = path
        self._name = repr(str(path))
        with self._border():
            self._connection = sqlite3.connect(
                uri, uri=True, timeout=TIMEOUT_S, isolation_level=None
            )
        try:
            for pragma in pragmas:
                self.run(f"PRAGMA {pragma}")
        except BaseException:
            self.close()
            raise

    @contextmanager
    def _border(self) -> Iterator[None]:
        try:
            yield
        except (sqlite3.ProgrammingError, sqlite3.InterfaceError):
            raise  # ours, and a bug
        except (sqlite3.Error, UnicodeDecodeError) as error:
            # A message that quotes a damaged schema may itself be no text.
            raise translated(error, self._name) from error

    def rows(self, sql: str, values: Values = ()) -> list[tuple[Any, ...]]:
        """All rows of a query."""
        with self._border():
            return self._connection.execute(sql, values).fetchall()

    def row(self, sql: str, values: Values = ()) -> tuple[Any, ...] | None:
        """The first row of a query, or None."""
        rows = self.rows(sql, values)
        return rows[0] if rows else None

    def each(self, sql: str, values: Values = ()) -> Iterator[tuple[Any, ...]]:
        """The rows of a query one by one, for more than memory should hold."""
        with self._border():
            yield from self._connection.execute(sql, values)

    def run(self, sql: str, values: Values = ()) -> int:
        """Run one statement; the number of the row it inserted."""
        with self._border():
            return self._connection.execute(sql, values).lastrowid or 0

    def run_many(self, sql: str, values: Iterable[Values]) -> None:
        """Run one statement for many rows of values."""
        with self._border():
            self._connection.executemany(sql, values)

    @contextmanager
    def writing(self) -> Iterator[None]:
        """All or nothing, and nobody else writes meanwhile. Nothing else in the program writes."""
        self.run("BEGIN IMMEDIATE")
        try:
            yield
            self.run("COMMIT")
        except BaseException:
            self._undo()
            raise

    @contextmanager
    def part(self) -> Iterator[None]:
        """All or nothing within a write, so that a caller may go on after a refusal."""
        self.run("SAVEPOINT part")
        try:
            yield
            self.run("RELEASE part")
        except BaseException:
            # After some failures SQLite has undone the whole write already.
            with suppress(sqlite3.Error):
                self._connection.execute("ROLLBACK TO part")
                self._connection.execute("RELEASE part")
            raise

    @contextmanager
    def snapshot(self) -> Iterator[None]:
        """Every read inside sees the same state; writers wait until it ends."""
        if self._connection.in_transaction:
            yield  # part of a larger one
            return
        self.run("BEGIN")
        try:
            yield
        finally:
            self._undo()  # there is nothing to commit, and after a damaged page no commit works

    def _undo(self) -> None:
        # Where even this fails, the next one to open the file finds the journal and undoes.
        with suppress(sqlite3.Error):
            self._connection.rollback()

    def attach(self, path: Path, name: str) -> None:
        """Read another file in the same queries."""
        self.run(f"ATTACH ? AS {name}", (f"{path.absolute().as_uri()}?mode=ro",))

    def define(self, name: str, function: Callable[..., str]) -> None:
        """Let queries call a function of three texts that answers with one."""
        self._connection.create_function(name, 3, function, deterministic=True)

    def take_texts(self, read: Callable[[bytes], str]) -> None:
        """Read texts from their bytes in another way."""
        self._connection.text_factory = read

    def copy_to(self, path: Path) -> None:
        """Copy the whole file, as it is at this moment, to a new one; writers wait meanwhile."""
        with self._border(), closing(sqlite3.connect(path)) as copy:
            self._connection.backup(copy)

    def close(self) -> None:
        """Close the file; what was not committed is undone."""
        with self._border():
            self._connection.close()


def check_present(path: Path) -> None:
    """Refuse what cannot be a library by its looks, before SQLite touches it.

    Raises
    ------
    LibraryError
        If there is no file, or an empty one: SQLite takes that for a new database.
    """
    name = repr(str(path))
    try:
        size = path.stat().st_size if path.is_file() else -1
    except OSError as error:
        raise LibraryError(f"the library {name} cannot be opened: {error.strerror}") from error
    if size >= _LEAST_BYTES:
        return
    if size > 0:
        raise LibraryError(
            f"{name} is no library, or cut so short that nothing of it is left",
            hint="name a library that riglog made, or take it from a backup or a bundle",
        )
    if size == 0:
        raise LibraryError(
            f"the library {name} is an empty file", hint="take it from a backup or a bundle"
        )
    if path.exists():
        raise LibraryError(f"{name} is no file", hint="name the library file itself")
    raise LibraryError(f"there is no library at {name}", hint="riglog init makes one")
