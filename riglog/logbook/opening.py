"""Opening a library: is it ours, is it of our time, is it as we left it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import LibraryError
from riglog.logbook import schema
from riglog.logbook.connection import Database, check_present, connect

if TYPE_CHECKING:
    from pathlib import Path


def open_database(path: Path, *, write: bool) -> Database:
    """Open a library file; a writer brings an older one up to date first, beside a copy of it.

    Raises
    ------
    LibraryError
        If there is none, it is not ours, newer, damaged at its head, or altered in its schema.
    BusyError
        If somebody else keeps it locked.
    """
    check_present(path)
    database = connect(path, write=write)
    try:
        if write:
            _bring_up_to_date(database)
            _check_schema(database)
        else:
            check_current(database)
    except BaseException:
        database.close()
        raise
    return database


def check_current(database: Database) -> None:
    """Refuse what is no library, or one of another time.

    Raises
    ------
    LibraryError
        With what to do about it.
    """
    if _version(database) < len(schema.STEPS):
        raise LibraryError(
            f"the library {str(database.path)!r} was written by an older riglog",
            hint="any command that writes brings it up to date and keeps a copy: riglog init",
        )


def objects(database: Database) -> list[schema.Object]:
    """Type, name and statement of everything in the file."""
    rows = database.rows("SELECT type, name, sql FROM sqlite_schema")
    return [(_text(type_), _text(name), sql) for type_, name, sql in rows]


def _text(name: object) -> str:
    """A name in a damaged schema can be anything."""
    return name if isinstance(name, str) else repr(name)


def _version(database: Database) -> int:
    """Version of the schema, of a file that is a library and whole."""
    name = repr(str(database.path))
    if _pragma(database, "application_id") != schema.APPLICATION_ID:
        raise LibraryError(
            f"{name} is a database of another program", hint="name a library that riglog made"
        )
    if _bytes_missing(database) > 0:
        raise LibraryError(
            f"the end of the library {name} is missing",
            hint="run riglog audit to see what is left, and take it from a backup or a bundle",
        )
    version = _pragma(database, "user_version")
    if version > len(schema.STEPS):
        raise LibraryError(
            f"the library {name} was written by a newer riglog", hint="install the newest riglog"
        )
    return version


def _bytes_missing(database: Database) -> int:
    """SQLite takes the missing part of a last page for zeros; it notices whole pages only."""
    # Asked in this order, a write that somebody else completes in between does no harm.
    pages = _pragma(database, "page_count") * _pragma(database, "page_size")
    return pages - database.path.stat().st_size


def _pragma(database: Database, name: str) -> int:
    row = database.row(f"PRAGMA {name}")
    return int(row[0]) if row else 0


def _bring_up_to_date(database: Database) -> None:
    version = _version(database)
    if version == len(schema.STEPS):
        return
    _keep_copy(database, version)
    with database.writing():
        # Somebody else may have been faster; only the count inside the lock is true.
        for step in schema.STEPS[_pragma(database, "user_version") :]:
            step(database.run)
        database.run(f"PRAGMA user_version = {len(schema.STEPS)}")


def _keep_copy(database: Database, version: int) -> None:
    """Copy the file as it was, complete under its name or not there at all."""
    from riglog.logbook.backup import copy_to

    copy = database.path.with_name(f"{database.path.name}.version-{version}")
    if copy.exists():
        return  # from an attempt that was interrupted, and nothing was written since
    copy_to(database, copy)


def _check_schema(database: Database) -> None:
    """Refuse to write where a trigger or a changed table might lose what is written."""
    found = objects(database)
    strange = [name for name in schema.foreign(found) if name.startswith("trigger")]
    wrong = [*schema.missing(found), *strange]
    if wrong:
        raise LibraryError(
            f"the library {str(database.path)!r} was altered by another program: {wrong[0]}",
            hint="nothing is recorded in it; riglog audit lists what is wrong",
        )
