"""SQLite's errors, told as ours."""

from __future__ import annotations

import sqlite3

from riglog.errors import BusyError, LibraryError, RiglogError

_PRIMARY = 0xFF
_BACKUP = "run riglog audit to see what still works, and take the rest from a backup or a bundle"
_OURS = "name a library that riglog made, or take it from a backup or a bundle"
_FOLDER = "the folder must be writable too, for the journal that undoes an interrupted write"


def translated(error: sqlite3.Error | UnicodeDecodeError, path: str) -> RiglogError:
    """The error that a caller can act on; raise it ``from`` the one that SQLite raised."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
    if code in {sqlite3.SQLITE_READONLY_ROLLBACK, sqlite3.SQLITE_READONLY_RECOVERY}:
        return LibraryError(
            f"a write to the library {path} was interrupted, and it cannot be undone here",
            hint="open it once where file and folder are writable",
        )
    primary = code & _PRIMARY
    if primary in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
        return BusyError(f"somebody else is writing to the library {path}", hint="try again")
    if primary == sqlite3.SQLITE_FULL:
        return BusyError(
            f"there is no room for the library {path}", hint="nothing was recorded; make room"
        )
    what, hint = _SAID.get(primary, (f"cannot be used ({error})", _BACKUP))
    return LibraryError(f"the library {path} {what}", hint=hint)


_SAID = {
    sqlite3.SQLITE_READONLY: ("is read-only", _FOLDER),
    sqlite3.SQLITE_PERM: ("may not be opened by you", "ask its owner"),
    sqlite3.SQLITE_AUTH: ("may not be opened by you", "ask its owner"),
    sqlite3.SQLITE_CANTOPEN: ("cannot be opened or written", _FOLDER),
    sqlite3.SQLITE_NOTADB: ("is no library, or its first page is damaged", _OURS),
    sqlite3.SQLITE_CORRUPT: ("is damaged", _BACKUP),
    sqlite3.SQLITE_IOERR: ("cannot be read or written: the disk failed", "nothing was recorded"),
}
