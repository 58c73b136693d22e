"""`init`: a new library, or the one that is there."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.library import Library

if TYPE_CHECKING:
    from pathlib import Path


class InitAnswer(NamedTuple):
    """Where the library lies, and whether it was made just now."""

    path: str
    made: bool


def init(path: Path, author: str) -> InitAnswer:
    """Make a library; on one that is there nothing changes, except that it is brought up to date.

    Raises
    ------
    LibraryError
        If the folder cannot be written, or something else stands in that place.
    BusyError
        If there is no room.
    """
    made = not path.exists()
    with Library.create(path, author):
        return InitAnswer(str(path), made)
