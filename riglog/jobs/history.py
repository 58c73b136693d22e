"""`history`: how a thing came about, version by version, with a build's readings between."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.jobs.listing import Kept, Pivots, Read, kept, read
from riglog.library.forks import is_fork
from riglog.library.standing import moment

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.library import Library
    from riglog.logbook import Entry, Version


class Change(NamedTuple):
    """A version: the names of those it came from, and the fields in which it differs.

    A first version differs in nothing.
    """

    kept: Kept
    newest: bool
    after: tuple[str, ...]
    changed: tuple[str, ...]


class HistoryAnswer(NamedTuple):
    """Newest first: each version below the readings that were taken of it."""

    kind: str
    id: str
    events: Sequence[Change | Read]


def history(library: Library, words: str) -> HistoryAnswer:
    """Who recorded what of a thing and when.

    Raises
    ------
    CallError, NotFoundError, AmbiguousError
        If the words do not name one thing.
    """
    log = library.logbook
    thing = library.resolve(None, words)
    kind = log.kind_of(thing) or ""
    versions = log.versions(kind, thing)
    readings = _readings(library, thing, versions) if kind == "build" else []
    events = list(_events(versions, readings))
    return HistoryAnswer(kind, thing, events[::-1])


def _readings(library: Library, build: str, versions: Sequence[Version]) -> list[tuple[str, Read]]:
    """The readings of a build as they were taken, each with its version's entry."""
    known = {each.entry.id: each for each in versions}
    entries = library.logbook.readings_of(build)
    taken = sorted(entries, key=lambda each: (moment(each.body["on"]), each.seq))
    pivots = Pivots(library)
    return [(each.body["stand"]["version"], read(each, known, pivots)) for each in taken]


def _events(
    versions: Sequence[Version], readings: Sequence[tuple[str, Read]]
) -> Iterator[Change | Read]:
    """Parents before children, and what was taken of a version after it."""
    known = {each.entry.id: each for each in versions}
    forked = is_fork([each.entry for each in versions if each.is_head])
    for version in versions:
        parents = [known[parent] for parent in version.entry.parents if parent in known]
        after = tuple(parent.name for parent in parents)
        told = kept(version, forked=forked and version.is_head)
        fields = _changed(version.entry, [parent.entry for parent in parents])
        yield Change(told, version.is_head, after, fields)
        yield from (row for of, row in readings if of == version.entry.id)
    yield from (row for of, row in readings if of not in known)


def _changed(entry: Entry, parents: Sequence[Entry]) -> tuple[str, ...]:
    """Fields that differ from any parent, sorted."""
    keys = {*entry.body, *(key for parent in parents for key in parent.body)}
    return tuple(
        key
        for key in sorted(keys)
        if any(entry.body.get(key) != parent.body.get(key) for parent in parents)
    )
