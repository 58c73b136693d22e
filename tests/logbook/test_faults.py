from __future__ import annotations

import sqlite3

import pytest

from riglog.errors import BusyError, LibraryError, RiglogError
from riglog.logbook.faults import translated

CASES: list[tuple[int, type[RiglogError], str]] = [
    (sqlite3.SQLITE_BUSY, BusyError, "somebody else is writing"),
    (sqlite3.SQLITE_BUSY_SNAPSHOT, BusyError, "somebody else is writing"),
    (sqlite3.SQLITE_LOCKED, BusyError, "somebody else is writing"),
    (sqlite3.SQLITE_FULL, BusyError, "no room"),
    (sqlite3.SQLITE_READONLY, LibraryError, "read-only"),
    (sqlite3.SQLITE_READONLY_DIRECTORY, LibraryError, "folder must be writable"),
    (sqlite3.SQLITE_READONLY_ROLLBACK, LibraryError, "was interrupted"),
    (sqlite3.SQLITE_CANTOPEN, LibraryError, "cannot be opened or written"),
    (sqlite3.SQLITE_NOTADB, LibraryError, "is no library"),
    (sqlite3.SQLITE_CORRUPT, LibraryError, "is damaged"),
    (sqlite3.SQLITE_CORRUPT_INDEX, LibraryError, "is damaged"),
    (sqlite3.SQLITE_IOERR_WRITE, LibraryError, "the disk failed"),
    (sqlite3.SQLITE_IOERR_FSYNC, LibraryError, "the disk failed"),
    (sqlite3.SQLITE_PERM, LibraryError, "may not be opened"),
    (sqlite3.SQLITE_ERROR, LibraryError, "cannot be used (what SQLite says)"),
]


@pytest.mark.parametrize(("code", "kind", "words"), CASES)
def test_each_error_of_sqlite_has_its_kind_its_words_and_a_hint(
    code: int, kind: type[RiglogError], words: str
) -> None:
    error = sqlite3.OperationalError("what SQLite says")
    error.sqlite_errorcode = code
    told = translated(error, "'kit.db'")
    assert type(told) is kind
    assert words in str(told)
    assert "'kit.db'" in told.message
    assert told.hint


def test_an_error_without_a_code_is_one_of_the_library() -> None:
    told = translated(sqlite3.OperationalError("Could not decode to UTF-8 column"), "'kit.db'")
    assert type(told) is LibraryError
    assert "Could not decode" in str(told)
