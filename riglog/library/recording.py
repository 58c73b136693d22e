"""Nouns to entries: what is new becomes a version on the head, what is the same records nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from riglog.library.clock import Doubt, doubt, doubt_of_version
from riglog.library.forks import forked, is_fork, newest, only_head
from riglog.library.standing import where
from riglog.logbook import Draft, Entry, now
from riglog.logbook.entry import canonical
from riglog.records import Build, Component, Rig, to_body
from riglog.records.stand import Stand
from riglog.records.weighing_scale import WeighingScale

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from riglog.library.standing import Standing
    from riglog.logbook import Reader, Transaction
    from riglog.logbook.entry import Body
    from riglog.records import Reading

Noun = Component | Rig | Build | WeighingScale
What = Literal["new", "changed", "same"]
_KINDS: Mapping[type[Noun], str] = {
    Component: "component",
    Rig: "rig",
    Build: "build",
    WeighingScale: "scale",
}


class Recorded(NamedTuple):
    """What became of one noun: its entry and version, and whether either is new.

    ``kind`` is component, rig, build, scale, reading or measurement, ``id`` that of the thing, or
    of a reading's build, or of the component measured. ``name`` is what people call the version.
    In a dry run, ``entry`` is empty where the noun would be recorded. ``on`` is when a reading was
    taken, ``doubt`` why a time is odd.
    """

    kind: str
    id: str
    what: What
    name: str = ""
    entry: str = ""
    on: str = ""
    doubt: Doubt | None = None


class Place(NamedTuple):
    """Where a noun's next version goes: what it would supersede, and what it would be called.

    ``parents`` are several where one document was recorded on two machines. ``body`` is the noun as
    the log keeps it.
    """

    head: Entry | None
    what: What
    name: str
    body: Body
    parents: tuple[str, ...] = ()

    def doubt(self, at: str) -> Doubt | None:
        """Why the time of the version that goes there is odd."""
        return doubt_of_version(at, self.head.at) if self.head else None


def kind_of(noun: Noun) -> str:
    """``component``, ``rig``, ``build`` or ``scale``."""
    return _KINDS[type(noun)]


def place_of(log: Reader, noun: Noun) -> Place:
    """Whether a noun is new, another version, or what is there already.

    Raises
    ------
    ForkError
        If it is another version and the thing has two heads.
    """
    body = to_body(noun)
    heads = log.heads(kind_of(noun), noun.id)
    for head in heads:
        if head.body == body and not log.undone(head.id):
            return Place(head, "same", log.version_of(head).name, body)
    if is_fork(heads):
        raise forked(log, heads)
    if not heads:
        return Place(None, "new", "1", body)
    number = 1 + max(log.version_of(head).number for head in heads)
    return Place(newest(heads), "changed", str(number), body, tuple(head.id for head in heads))


def record(log: Transaction, noun: Noun, author: str) -> Recorded:
    """Record a noun as a version on the head, unless it is the same as one.

    Raises
    ------
    ForkError
        If it is another version and the thing has two heads.
    """
    return record_all(log, [noun], author)[0]


def record_all(log: Transaction, nouns: Iterable[Noun], author: str) -> list[Recorded]:
    """Record nouns with an id each, as ``record``; many in one go, which takes half the time."""
    placed = [(noun, place_of(log, noun)) for noun in nouns]
    at = now()
    drafts = [
        Draft(
            kind=kind_of(noun),
            subject=noun.id,
            at=at,
            author=author,
            body=place.body,
            parents=place.parents,
        )
        for noun, place in placed
        if place.what != "same"
    ]
    entries = iter(log.append(drafts))
    return [_recorded(noun, place, entries) for noun, place in placed]


def _recorded(noun: Noun, place: Place, entries: Iterator[Entry]) -> Recorded:
    """What became of a noun; the entries are those of the nouns that were not there already."""
    if place.what == "same" and place.head:
        return Recorded(kind_of(noun), noun.id, "same", place.name, place.head.id)
    entry = next(entries)
    odd = place.doubt(entry.at)
    return Recorded(kind_of(noun), noun.id, place.what, place.name, entry.id, doubt=odd)


def record_reading(
    log: Transaction, reading: Reading, author: str, version: str | None = None
) -> Recorded:
    """Record a reading, with every setting as the rig stood when it was taken.

    Parameters
    ----------
    version
        Name of the build's version that it is of; the newest if left out.

    Raises
    ------
    NotFoundError
        If there is no such build or version.
    ForkError
        If no version is named and the build has two heads.
    """
    before = standing_at(log, reading.build, reading.on, version)
    stand = Stand(
        version=before.entry,
        settings={**before.settings, **reading.settings},
        states={**before.states, **reading.states},
        head=reading.head or before.head,
    )
    body = to_body(reading) | {"stand": to_body(stand)}
    draft = Draft(kind="reading", subject=reading.build, at=now(), author=author, body=body)
    (entry,) = log.append([draft])
    odd = doubt(reading.on, entry.at)
    return Recorded("reading", reading.build, "new", before.name, entry.id, reading.on, odd)


def standing_at(
    log: Reader, build: str, on: str | None = None, version: str | None = None
) -> Standing:
    """Where a build's newest version, or the one named, stands, or stood at some time.

    Raises
    ------
    NotFoundError
        If there is no such build or version.
    ForkError
        If no version is named and the build has two heads.
    """
    if version is None:
        meant = log.version_of(only_head(log, "build", build))
    else:
        meant = log.version("build", build, version)
    return where(meant, log.readings_of(build, versions=meant.ids), until=on)


def key_of(body: Body) -> str:
    """What readings that are equal as written have in common."""
    return canonical({key: value for key, value in body.items() if key != "stand"})
