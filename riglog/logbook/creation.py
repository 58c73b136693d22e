"""A new library file: there in full or not at all, whenever the machine stops."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, contextmanager, suppress
from typing import TYPE_CHECKING
from uuid import uuid4

from riglog.errors import BusyError, LibraryError
from riglog.logbook.files import no_room, sync_folder
from riglog.logbook.schema import APPLICATION_ID, STEPS

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


def create(path: Path) -> bool:
    """Make an empty library unless something is there; whether it was made.

    Raises
    ------
    LibraryError
        If the folder cannot be written.
    BusyError
        If there is no room.
    """
    if path.exists():
        return False
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        return _place(empty_library(), path)
    except OSError as error:
        raise _translated(error, path) from error


@contextmanager
def appearing(path: Path) -> Iterator[Path]:
    """A new library to be filled, which stands at its place once the block has ended, or never.

    Raises
    ------
    LibraryError
        If the folder cannot be written.
    BusyError
        If there is no room, or somebody else made one meanwhile.
    """
    beside = path.with_name(f".{path.name}.{uuid4().hex}.new")
    try:
        create(beside)
        yield beside
        if not _named(beside, path):
            raise BusyError(f"somebody else made {str(path)!r} meanwhile", hint="try again")
        sync_folder(path.parent)
    except OSError as error:
        raise _translated(error, path) from error
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)


def empty_library() -> bytes:
    """The bytes of a library without entries."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("BEGIN")
        for step in STEPS:
            step(connection.execute)
        connection.execute(f"PRAGMA user_version = {len(STEPS)}")
        connection.execute("COMMIT")
        return connection.serialize()


def _place(content: bytes, path: Path) -> bool:
    """Put a file in place under its name, complete, and never over another one."""
    beside = path.with_name(f".{path.name}.{uuid4().hex}.new")
    try:
        with beside.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        placed = _named(beside, path)
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
    sync_folder(path.parent)
    return placed


def _named(beside: Path, path: Path) -> bool:
    try:
        path.hardlink_to(beside)
    except FileExistsError:
        return False  # somebody was faster
    except (OSError, NotImplementedError):
        # A memory stick knows no second name for a file. Between the look and the renaming lies
        # an instant in which another program could have made one.
        if path.exists():
            return False
        beside.rename(path)
    return True


def _translated(error: OSError, path: Path) -> BusyError | LibraryError:
    name = repr(str(path))
    if no_room(error):
        return BusyError(f"there is no room for the library {name}", hint="make room")
    return LibraryError(
        f"the library {name} cannot be made: {error.strerror}", hint="choose another folder"
    )
