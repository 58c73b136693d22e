"""A copy of a library, in full under its name or not there at all, while others read and write."""

from __future__ import annotations

import os
from contextlib import suppress
from typing import TYPE_CHECKING

from riglog.errors import CallError, LibraryError
from riglog.logbook.files import sync_folder, translated

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.logbook.connection import Database


def copy_to(database: Database, target: Path, *, check: bool = False) -> None:
    """Copy a library as it is at this moment, into a file that is not there yet.

    Parameters
    ----------
    check
        Look at every entry of the copy before it gets its name.

    Raises
    ------
    CallError
        If it cannot be written there.
    BusyError
        If there is no room.
    LibraryError
        If the library is damaged.
    """
    beside = target.with_name(f".{target.name}.{os.getpid()}.new")
    try:
        beside.unlink(missing_ok=True)
        database.copy_to(beside)
        with beside.open("rb") as file:
            os.fsync(file.fileno())
        if check:
            _check(beside, database)
        beside.replace(target)
        sync_folder(target.parent)
    except OSError as error:
        raise translated(error, target) from error
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)


def backup(database: Database, target: Path) -> None:
    """Copy a library to where nothing is, and check the copy; raises as ``copy_to``."""
    if target.exists():
        hint = "name a new file; nothing was written"
        raise CallError(f"{str(target)!r} is there already", hint=hint)
    if not target.parent.is_dir():
        raise CallError(f"there is no folder {str(target.parent)!r}", hint="make it first")
    copy_to(database, target, check=True)


def _check(copy: Path, database: Database) -> None:
    from riglog.logbook.auditing.audit import audit

    if audit(copy).damage:
        raise LibraryError(
            f"the library {str(database.path)!r} is damaged, and so would its copy be",
            hint="riglog audit lists all damage; nothing was written",
        )
