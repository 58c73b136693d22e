"""The words of a search, understood."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError
from riglog.jobs.condition_words import SAID
from riglog.library.clock import today
from riglog.library.days import days_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from riglog.library import Library
    from riglog.library.days import Days

MOST = 1000


class Question(NamedTuple):
    """What is looked for, by exact ids; ``rest`` are the words that are no id."""

    rest: tuple[str, ...]
    components: tuple[str, ...]
    rigs: tuple[str, ...]
    builds: tuple[str, ...]
    days: Days | None
    tags: tuple[str, ...]
    most: int

    @property
    def things(self) -> tuple[str, ...]:
        """What a build has to use."""
        return (*self.components, *self.rigs)


def understood(
    library: Library,
    words: Sequence[str],
    with_: Sequence[str],
    on: str | None,
    rig: str | None,
    tags: Sequence[str],
    count: int,
) -> Question:
    """The search that the words mean.

    A word that is an exact id is that thing and no other word.

    Raises
    ------
    CallError, NotFoundError, AmbiguousError
        If a word is wrong.
    """
    if not 0 < count <= MOST:
        raise CallError(f"{count} is no number of finds", hint=f"write one from 1 to {MOST}")
    rest = [word for each in words for word in each.split()]
    kinds = {word: library.logbook.kind_of(word) for word in rest}

    def of(kind: str) -> list[str]:
        return [word for word in rest if kinds[word] == kind]

    components = [library.resolve("component", word) for word in with_]
    rigs = [] if rig is None else [library.resolve("rig", rig)]
    return Question(
        rest=tuple(_recorded(word) for word in rest if kinds[word] is None and _says(word)),
        components=_once([*components, *of("component")]),
        rigs=_once([*rigs, *of("rig")]),
        builds=_once(of("build")),
        days=None if on is None else days_of(on, today()),
        tags=tuple(tags),
        most=count,
    )


def _recorded(word: str) -> str:
    """A word as readings have it: ``windy`` was written down as ``wind``.

    Notes keep what was typed, and are found by how it begins.
    """
    said = SAID.get(word.casefold(), word)
    return said if word.casefold().startswith(said) else word


def _says(word: str) -> bool:
    return any(c.isalnum() for c in word)


def _once(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))
