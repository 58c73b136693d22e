"""`backup`: a copy of the library, while others go on working with it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.logbook import Logbook
from riglog.logbook.fingerprint import parse

if TYPE_CHECKING:
    from pathlib import Path


class BackupAnswer(NamedTuple):
    """Where the copy is, of which library, and how much that held."""

    path: str
    library: str
    entries: int
    fingerprint: str


def backup(path: Path, target: Path) -> BackupAnswer:
    """Copy a library to a new file, and check the copy.

    Raises
    ------
    CallError
        If something stands in that place, or it cannot be written.
    BusyError
        If there is no room.
    LibraryError
        If the library is damaged.
    """
    with Logbook.open(path) as log:
        log.backup(target)
    with Logbook.open(target) as copy:
        found = copy.fingerprint()
    return BackupAnswer(str(target), str(path), parse(found).entries, found)
