"""`rebuild`: everything but the entries made anew from the entries."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from pathlib import Path


class RebuildAnswer(NamedTuple):
    """The library, and of how many entries its tables were made anew."""

    path: str
    entries: int


def rebuild(path: Path) -> RebuildAnswer:
    """Restore tables, views and triggers.

    Raises
    ------
    LibraryError
        If the log itself is damaged, or the file is no library.
    BusyError
        If somebody else is writing, or there is no room.
    """
    from riglog.logbook.rebuild import rebuild as rebuild_log

    return RebuildAnswer(str(path), rebuild_log(path))
