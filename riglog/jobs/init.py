"""`init`: a new library, or the one that is there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from riglog.library import Library

if TYPE_CHECKING:
    from pathlib import Path


@dataclass(frozen=True, slots=True)
class InitAnswer:
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
