"""Opening a library: is it ours, is it of our time, is it as we left it."""

from __future__ import annotations

import os
from contextlib import closing
from typing import TYPE_CHECKING

from riglog.errors import LibraryError
from riglog.logbook import schema
from riglog.logbook.connection import Database, check_present, connect

if TYPE_CHECKING:
    from pathlib import Path

_HEAD_BYTES = 72
_VERSION, _APPLICATION = slice(60, 64), slice(68, 72)


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


def open_log(path: Path) -> Database:
    """Open somebody's library to read its entries alone: of an older one too they are the log.

    Raises
    ------
    LibraryError
        If there is none, it is not ours, newer, or damaged at its head.
    BusyError
        If somebody else keeps it locked.
    """
    check_present(path)
    database = connect(path, write=False)
    try:
        _version(database)
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
        from shlex import quote  # only on the way to a message

        raise LibraryError(
            f"the library {str(database.path)!r} was written by an older riglog",
            hint="any command but a dry run brings it up to date and keeps a copy: riglog list"
            f" builds --db {quote(str(database.path))}",
        )


def bring_up_to_date(path: Path) -> Path | None:
    """Bring a library of an older riglog up to date; where it lies as it was.

    None where there is nothing to do, be it that opening has to say what is wrong.

    Raises
    ------
    LibraryError
        If file or folder cannot be written, or the library is damaged.
    BusyError
        If somebody else keeps it locked, or there is no room.
    """
    if not _looks_older(path):
        return None
    _refuse_read_only(path.resolve())
    with closing(connect(path, write=True)) as database:
        return _bring_up_to_date(database)


def _looks_older(path: Path) -> bool:
    """Whether it may be an older library, by its first bytes: no answer waits for a question."""
    try:
        if path.with_name(f"{path.name}-journal").exists():
            return path.is_file()  # those bytes may be of a write that was interrupted
        with path.open("rb") as file:
            head = file.read(_HEAD_BYTES)
    except OSError:
        return False
    application, version = (int.from_bytes(head[each]) for each in (_APPLICATION, _VERSION))
    return application == schema.APPLICATION_ID and version < len(schema.STEPS)


def _refuse_read_only(path: Path) -> None:
    if not (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)):
        raise LibraryError(
            f"the library {str(path)!r} was written by an older riglog and is read-only",
            hint="make file and folder writable, or copy the file to where you may write, and name"
            " the copy with --db",
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


def _bring_up_to_date(database: Database) -> Path | None:
    """Where the file lies as it was; None if it was of our time."""
    if _version(database) == len(schema.STEPS):
        return None
    with database.writing():
        # Somebody else may have been faster; only the count inside the lock is true.
        version = _pragma(database, "user_version")
        if version == len(schema.STEPS):
            return None
        copy = _keep_copy(database.path, version)
        for step in schema.STEPS[version:]:
            step(database.run)
        database.run(f"PRAGMA user_version = {len(schema.STEPS)}")
    return copy


def _keep_copy(path: Path, version: int) -> Path:
    """Copy the file as it was, complete under its name or not there at all.

    Whoever holds the lock copies, by a connection of its own: so nobody copies a file that somebody
    else has brought up to date meanwhile.
    """
    from riglog.logbook.backup import copy_to

    copy = path.with_name(f"{path.name}.version-{version}")
    if not copy.exists():  # else from an attempt that was interrupted; nothing was written since
        with closing(connect(path, write=False)) as former:
            copy_to(former, copy)
    return copy


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
