"""`use`: the build that commands mean when none is named."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from riglog.library import Library


class UseAnswer(NamedTuple):
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
