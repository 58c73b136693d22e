"""Whether the nouns of documents fit together, and with what the library has.

Pure: nouns and a lookup in, findings out. Every name that stands for something must be known,
every part must hang on the rig, every setting must be one that a hand could make.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from riglog.interchange.build_checks import check_build
from riglog.interchange.frames import check_head, check_settings, check_states, frame_of
from riglog.interchange.measurement_checks import check_measurement, check_scale
from riglog.interchange.world import World, by_id, named, unknown_words
from riglog.records import Drop, Hold, Lean, Rig, Swing
from riglog.records.support import MOST_LEAN
from riglog.units import RADIAN, exact, show

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from riglog.errors import Finding
    from riglog.interchange.document import Document, Placed
    from riglog.interchange.world import Known
    from riglog.records import Adjuster, Build, Component, Mount, Reading


def cross_check(documents: Sequence[Document], known: Known) -> tuple[Finding, ...]:
    """All that is wrong with some documents, by themselves and against a library.

    Parameters
    ----------
    documents
        They may name each other's nouns.
    known
        The library; ``Nothing()`` is an empty one.

    Returns
    -------
    tuple of Finding
        Sorted, those of ``documents`` among them; empty if all can be recorded.
    """
    world = World(documents, known)
    found = {finding for document in documents for finding in document.findings}
    found.update(_taken_ids(documents, known))
    for document in documents:
        found.update(_document(document, world))
    return tuple(sorted(found))


def _document(document: Document, world: World) -> Iterator[Finding]:
    for component in document.components:
        yield from _component(component, world)
    for rig in document.rigs:
        yield from _rig(rig)
    for build in document.builds:
        yield from check_build(build, world)
    for reading in document.readings:
        yield from _reading(reading, world)
    for scale in document.scales:
        yield from check_scale(scale)
    for measurement in document.measurements:
        yield from check_measurement(measurement, world)


def _taken_ids(documents: Sequence[Document], known: Known) -> Iterator[Finding]:
    """Ids are one namespace: of all documents, and of the library."""
    first: dict[str, Placed[object]] = {}
    for document in documents:
        for kind, placed in named(document):
            there = known.kind_of(placed.noun.id)
            if there not in {None, kind}:
                message = f"the library has a {there} of that id"
                yield placed.finding(("id",), message, "choose another id")
            earlier = first.setdefault(placed.noun.id, placed)
            if earlier is not placed and earlier.file != placed.file:
                message = f"the id stands in {earlier.file} too"
                yield placed.finding(("id",), message, "keep one of them, or choose another id")


def _component(placed: Placed[Component], world: World) -> Iterator[Finding]:
    component = placed.noun
    yield from _like(placed, world)
    yield from _adjusters(placed, component.adjusters)
    resolved = world.component(component.id) if not world.is_open(component) else None
    if resolved:
        yield from _moved_by(placed, component.mounts, resolved.adjusters)


def _like(placed: Placed[Component], world: World) -> Iterator[Finding]:
    seen, name = [placed.noun.id], placed.noun.like
    while name is not None and name not in seen and name not in world.unread:
        seen.append(name)
        found = world.bare_component(name)
        if found is None and len(seen) == 2:
            message = f"there is no component {name}"
            yield placed.finding(("like",), message, world.mend("component", name, seen[0]))
        name = found.like if found else None
    if name == placed.noun.id:
        message = f"it is like itself: {' like '.join([*seen, name])}"
        yield placed.finding(("like",), message, "take one of them out")


def _rig(placed: Placed[Rig]) -> Iterator[Finding]:
    rig = placed.noun
    yield from _adjusters(placed, rig.adjusters)
    yield from _moved_by(placed, rig.mounts, rig.adjusters)
    pivot = by_id(rig.adjusters).get("pivot")
    if pivot is None:
        mend = "add {id: pivot, axis: z}, which tells where the tilt axis is"
        yield placed.finding(("adjusters",), "no adjuster is called pivot", mend)
    elif pivot.axis == "y":
        path = ("adjusters", rig.adjusters.index(pivot), "axis")
        mend = "write axis: z, or axis: x for guides that lie fore and aft"
        yield placed.finding(
            path, "the pivot goes along y, which is the axis that it tilts on", mend
        )


def _adjusters(
    placed: Placed[Rig] | Placed[Component], adjusters: Sequence[Adjuster]
) -> Iterator[Finding]:
    counts = Counter(adjuster.id for adjuster in adjusters)
    for index, adjuster in enumerate(adjusters):
        fault = _leans(adjuster, of_rig=isinstance(placed.noun, Rig)) if adjuster.lean else None
        if fault is not None:
            yield placed.finding(("adjusters", index, "lean"), *fault)
        if counts[adjuster.id] > 1:
            message = f"{counts[adjuster.id]} adjusters have this id"
            yield placed.finding(("adjusters", index, "id"), message, "give each its own")


def _leans(adjuster: Adjuster, *, of_rig: bool) -> tuple[str, str] | None:
    """What is wrong with a lean, and the mend."""
    if adjuster.id != "pivot" or not of_rig:
        return "only the post or guides of the pivot lean", "take it out"
    if adjuster.axis != "z":
        return "guides that lie fore and aft do not lean", "take it out, or write axis: z"
    if abs(adjuster.lean) > MOST_LEAN:
        told, most = exact(adjuster.lean, RADIAN), show(MOST_LEAN, "deg", 0)
        mend = f"write at most {most}, or axis: x for guides that lie fore and aft"
        return f"guides that lean by {told} hardly raise the pivot", mend
    return None


def _moved_by(
    placed: Placed[Rig] | Placed[Component],
    mounts: Mapping[str, Mount],
    adjusters: Iterable[Adjuster],
) -> Iterator[Finding]:
    names = by_id(adjusters)
    for mount, spec in mounts.items():
        for name in spec.moved_by:
            if name not in names:
                message = f"there is no adjuster {name}"
                mend = unknown_words(name, names, "adjusters")
                yield placed.finding(("mounts", mount, "moved_by"), message, mend)


def _reading(placed: Placed[Reading], world: World) -> Iterator[Finding]:
    reading = placed.noun
    yield from _contradictions(placed)
    if reading.build in world.unread:
        return
    build = world.build(reading.build)
    if build is None:
        message, mend = f"there is no build {reading.build}", world.mend("build", reading.build)
        yield placed.finding(("build",), message, mend)
        return
    frame = frame_of(build, world)
    yield from check_settings(placed, reading.settings, frame)
    yield from check_states(placed, reading.states, frame)
    yield from check_head(placed, reading.head, frame)
    yield from _limp(placed, build)
    yield from _panned(placed, frame.rig)


def _panned(placed: Placed[Reading], rig: Rig | None) -> Iterator[Finding]:
    """A lean of a ring that says how far it was panned in its gimbal."""
    reading = placed.noun
    if rig and rig.type == "ring" and reading.kind == "lean" and reading.pan is not None:
        yield placed.finding(("pan",), "a ring rig does not pan in its gimbal", "leave out pan")


def _limp(placed: Placed[Reading], build: Build) -> Iterator[Finding]:
    """A drop with the powered head switched off."""
    if placed.noun.kind == "drop" and (placed.noun.head or build.head) == "off":
        message = "with its powered head off the rig is limp, and a drop means nothing"
        mend = "balance the head switched off first, then drop it with head: level"
        yield placed.finding(("head",), message, mend)


def _contradictions(placed: Placed[Reading]) -> Iterator[Finding]:
    """Figures of one reading that exclude each other."""
    match placed.noun:
        case Drop(release=release, stop=stop) if abs(stop) >= release:
            message = (
                f"it stops at {exact(stop, RADIAN)} and was let go at {exact(release, RADIAN)}"
            )
            yield placed.finding(("stop",), message, "write a smaller angle than that of release")
        case Drop(timed_to="far-side", stop=stop) if stop:
            message = f"it stops at {exact(stop, RADIAN)} and at the far side"
            yield placed.finding(("stop",), message, "leave one of them out")
        case Swing(start=start, end=float(end)) if end > start:
            message = f"the swings grow from {exact(start, RADIAN)} to {exact(end, RADIAN)}"
            yield placed.finding(("to",), message, "write the angle of the last swing")
        case Hold(stays=None, falls=None):
            yield placed.finding((), "it says no angle", "add stays, or falls")
        case Hold(stays=float(stays), falls=float(falls)) if stays >= falls:
            message = f"it stays at {exact(stays, RADIAN)} and falls at {exact(falls, RADIAN)}"
            mend = "write the least angle at which it does not stay"
            yield placed.finding(("falls",), message, mend)
        case Lean(lean=None, side=None):
            yield placed.finding((), "it says no angle", "add lean, or side")
        case _:
            pass
