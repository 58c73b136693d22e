"""`use`: the build that commands mean when none is named."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from riglog.library import Library


@dataclass(frozen=True, slots=True)
class UseAnswer:
    """The build in use, and by whom."""

    build: str
    author: str


def use(library: Library, words: str) -> UseAnswer:
    """Take a build in use.

    Raises
    ------
    NotFoundError, AmbiguousError
        If the words do not name one build.
    """
    return UseAnswer(library.use(words), library.author)
