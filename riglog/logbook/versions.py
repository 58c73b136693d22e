"""Versions of one thing: their numbers, what people call them, and which one a word means.

A version's number is 1 + the longest chain of its parents. Two people who change the same thing
apart from each other make two versions of one number; those are told apart by the start of their
entries' ids, ``3.ab12``.
"""

from __future__ import annotations

import re
from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import AmbiguousError, NotFoundError, listed, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from riglog.logbook.entry import Entry

_SHORTEST = 4
_NAME = r"(?P<number>\d{1,9})(?:\.(?P<start>[0-9a-f]+))?"


class Place(NamedTuple):
    """Where an entry stands among the versions of its subject."""

    id: str
    number: int


class Version(NamedTuple):
    """One version of a thing; ``name`` is what people call it, after an @.

    ``twins`` are the ids of others of the same parents that say the same: one document was recorded
    on two machines. Whatever holds for one of them holds for the others.
    """

    entry: Entry
    number: int
    name: str
    is_head: bool
    twins: tuple[str, ...] = ()

    @property
    def ids(self) -> frozenset[str]:
        """The ids of its entry and of its twins."""
        return frozenset((self.entry.id, *self.twins))


def names(places: Iterable[Place]) -> dict[str, str]:
    """What to call each version, by its entry's id: ``3``, or ``3.ab12`` on a fork."""
    alike: dict[int, list[str]] = defaultdict(list)
    for place in places:
        alike[place.number].append(place.id)
    return {
        each: f"{number}.{each[: _length(ids)]}" if len(ids) > 1 else str(number)
        for number, ids in alike.items()
        for each in ids
    }


def _length(ids: Sequence[str]) -> int:
    """Least number of characters that tell these ids apart, and no fewer than four."""
    return next(n for n in range(_SHORTEST, 65) if len({each[:n] for each in ids}) == len(ids))


def pick(places: Sequence[Place], word: str, subject: str) -> Place:
    """The version that a word means: a number, a number and the start of an id, or a start alone.

    Raises
    ------
    NotFoundError
        If no version is called that.
    AmbiguousError
        If several are.
    """
    found = [place for place in places if _means(word, place)]
    if not found and len(word) >= _SHORTEST:
        found = [place for place in places if place.id.startswith(word)]
    called = names(places)
    if not found:
        known = listed([called[place.id] for place in places[-12:]])
        raise NotFoundError(f"{subject} has no version {quoted(word)}", hint=f"it has {known}")
    if len(found) > 1:
        several = listed([f"{subject}@{called[place.id]}" for place in found])
        raise AmbiguousError(f"{subject} has several versions {quoted(word)}", hint=several)
    return found[0]


def _means(word: str, place: Place) -> bool:
    if not (parts := re.fullmatch(_NAME, word, re.ASCII)):
        return False
    return int(parts["number"]) == place.number and place.id.startswith(parts["start"] or "")
