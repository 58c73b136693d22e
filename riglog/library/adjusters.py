"""The adjusters of a build, and readings of their scales as typed in a command."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import CallError, listed, mend_word, quoted
from riglog.library.forks import newest
from riglog.library.sides import are_sides, parse_sides
from riglog.records import Rig, from_body
from riglog.units import METER, parse_loose, show

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from riglog.library.library import Library
    from riglog.records import Adjuster, Build, Setting


def adjusters_of(library: Library, build: Build) -> dict[str, Adjuster]:
    """Every adjuster of a build by the name that settings have: ``pivot``, ``plate.slide``.

    Raises
    ------
    NotFoundError, ForkError
        If its rig or a component is not here, or has two heads.
    """
    found = {adjuster.id: adjuster for adjuster in library.rig(build.rig).adjusters}
    for part in build.parts:
        for adjuster in _own(library, part.component):
            found[f"{part.id}.{adjuster.id}"] = adjuster
    return found


def _own(library: Library, name: str) -> tuple[Adjuster, ...]:
    """The adjusters of a component: those it states, else those of what it is like."""
    component, seen = library.component(name), {name}
    while not component.adjusters and component.like and component.like not in seen:
        seen.add(component.like)
        component = library.component(component.like)
    return component.adjusters


def engraved(library: Library) -> str:
    """The unit of all pivots' scales; mm where they differ, and where there is none."""
    log = library.logbook
    heads = [newest(log.heads("rig", name)) for name in log.subjects("rig")]
    units = {from_body(Rig, head.body).adjuster("pivot").unit for head in heads}
    return units.pop() if len(units) == 1 else "mm"


def named_adjuster(words: str, known: Iterable[str]) -> str:
    """The adjuster that words mean: its name, or an unambiguous part of it.

    Raises
    ------
    CallError
        If they mean none, or several.
    """
    names = list(known)
    part = words.strip().casefold()
    found = [part] if part in names else [name for name in names if part and part in name]
    if len(found) == 1:
        return found[0]
    if found:
        hint = f"it could mean {listed(found)}"
        raise CallError(f"{quoted(words)} fits several adjusters", hint=hint)
    hint = mend_word(part, names)
    raise CallError(f"there is no adjuster {quoted(words)}", hint=hint)


def settings_given(
    known: Mapping[str, Adjuster], words: Sequence[str], rig_type: str
) -> dict[str, Setting]:
    """What ``ADJUSTER=READING`` says, each as a reading of its scale [m].

    Raises
    ------
    CallError
        If an adjuster is not known or named twice, or a reading is no length or out of travel.
    """
    settings: dict[str, Setting] = {}
    for each in words:
        name, equals, reading = each.partition("=")
        if not equals:
            hint = "write ADJUSTER=READING, as pivot=487mm"
            raise CallError(f"{quoted(each)} is no setting", hint=hint)
        adjuster = named_adjuster(name, known)
        if adjuster in settings:
            raise CallError(f"{adjuster} is set twice", hint="keep one of them")
        settings[adjuster] = (
            checked_mark(known[adjuster], reading, rig_type)
            if adjuster == "pivot"
            else checked_setting(known[adjuster], adjuster, reading)
        )
    return settings


def checked_mark(pivot: Adjuster, text: str, rig_type: str) -> Setting:
    """A reading of the pivot [m]; of a ring also one for each side, as ``212mm,213mm``.

    Raises
    ------
    CallError
        If it is none, or beyond the travel.
    """
    if rig_type != "ring":
        if are_sides(text, pivot.unit):
            raise CallError(f"{quoted(text)} is two readings", hint="a post rig has one pivot")
        return checked_setting(pivot, "pivot", text)
    sides = parse_sides(text, pivot.unit, reach(pivot))
    if sides is None:
        return checked_setting(pivot, "pivot", text)
    for side in (sides.left, sides.right):
        _refuse_beyond(pivot, "pivot", side, text)
    return sides


def reach(adjuster: Adjuster) -> tuple[float, float] | None:
    """Readings that an adjuster can stand at, give or take half a step."""
    if adjuster.travel is None:
        return None
    low, high = adjuster.travel
    return low - adjuster.step / 2, high + adjuster.step / 2


def parse_setting(adjuster: Adjuster, text: str) -> float:
    """What an adjuster's scale shows [m]; a bare number is in the unit engraved on it.

    Raises
    ------
    QuantityError
        If the text is no length.

    Examples
    --------
    >>> from riglog.records import Adjuster
    >>> parse_setting(Adjuster(id="pivot", axis="z"), "487")
    0.487
    >>> parse_setting(Adjuster(id="pivot", axis="z", unit="in"), "18 3/8")
    0.466725
    """
    return parse_loose(text, METER, adjuster.unit)


def checked_setting(adjuster: Adjuster, name: str, text: str) -> float:
    """A reading [m] that the adjuster called ``name`` can stand at, give or take half a step.

    Raises
    ------
    CallError
        If it is no length, or beyond the travel.
    """
    reading = parse_setting(adjuster, text)
    _refuse_beyond(adjuster, name, reading, text)
    return reading


def _refuse_beyond(adjuster: Adjuster, name: str, reading: float, text: str) -> None:
    low, high = reach(adjuster) or (reading, reading)
    if adjuster.travel and not low <= reading <= high:
        ends = " to ".join(show(end, adjuster.unit) for end in adjuster.travel)
        raise CallError(f"{name} cannot stand at {quoted(text)}", hint=f"its travel is {ends}")
