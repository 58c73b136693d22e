"""From high to low mode and back: what is hung another way, what is turned, what stays.

Turning a rig over turns everything on it over. A camera that is to stand upright again is hung by
a mount of its own, such as its top, and turned half over about the fore-aft axis; a monitor is
turned where it sits. Which of it is wanted only a person can say.
"""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import TYPE_CHECKING, Literal

from riglog.errors import CallError, listed, mend_word, quoted
from riglog.jobs.exchange import Exchanged, above, going_on, part_named
from riglog.jobs.turning import further, is_none, told
from riglog.jobs.unsaid import refuse_unsaid, ways_to_hang
from riglog.units import RADIAN, parse_loose

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from riglog.jobs.exchange import Lookup
    from riglog.jobs.swap_words import Conversion
    from riglog.records import Build, Part

Mode = Literal["high", "low"]


def convert(exchanged: Exchanged, words: Conversion, component: Lookup) -> Exchanged:
    """The build in the other mode, with what was said of its parts.

    Raises
    ------
    UnsaidError
        If a camera or monitor is on it of which nothing was said.
    CallError
        If a word is wrong.
    """
    build = exchanged.build
    if words.mode is None:
        _refuse_without_mode(words)
        return exchanged
    mode = _mode(words.mode, build)
    hung = dict(_hung(build, words.by, component))
    turned = dict(_turned(build, words.turn))
    kept = {part_named(build, each) for each in words.keep}
    _refuse_twice([*hung, *turned, *kept])
    righted = {other for name in (*hung, *turned) for other in above(build, name)}
    refuse_unsaid(build, {*hung, *turned, *kept, *righted}, mode, component)
    parts = tuple(_converted(part, hung, turned, mode) for part in build.parts)
    off, fitted = _moved(exchanged, hung)
    return Exchanged(
        replace(build, mode=mode, parts=parts), off, fitted, over=True, hung=hung, turned=turned
    )


def _refuse_without_mode(words: Conversion) -> None:
    if words.by or words.turn or words.keep:
        hint = "add --mode low, or --mode high"
        raise CallError("nobody said which mode it is turned to", hint=hint)


def _mode(text: str, build: Build) -> Mode:
    mode: Mode
    if text == "high":
        mode = "high"
    elif text == "low":
        mode = "low"
    else:
        raise CallError(f"{quoted(text)} is no mode", hint=mend_word(text, ["high", "low"]))
    if mode == build.mode:
        raise CallError(f"{build.id} is in {mode} mode already", hint="leave out --mode")
    return mode


def _hung(build: Build, words: Sequence[str], component: Lookup) -> Iterator[tuple[str, str]]:
    for each in words:
        name, equals, mount = each.partition("=")
        if not equals:
            hint = "write PART=MOUNT, or PART= for its own base"
            raise CallError(f"{quoted(each)} does not say what it hangs by", hint=hint)
        part = part_named(build, name)
        mounts = component(build.part(part).component).mounts
        if mount and mount not in mounts:
            hint = f"it has {listed(sorted(mounts), 'and')}" if mounts else "it has none"
            raise CallError(f"{part} has no mount {quoted(mount)}", hint=hint)
        _refuse_unchanged(build, build.part(part), mount, component)
        _refuse_in_the_way(build, part, mount)
        yield part, mount


def _refuse_unchanged(build: Build, part: Part, mount: str, component: Lookup) -> None:
    """What still hangs by the same mount would be turned through what it hangs from."""
    if mount != (part.by or ""):
        return
    ways = [way.said for way in ways_to_hang(build, part, component)]
    if part.by is None:
        ways.append(f"--turn {part.id}=180deg")
    hangs = f"hangs by its {part.by}" if part.by else "sits on its base"
    hint = f"write {listed([*ways, f'--keep {part.id}, which leaves it as it is'])}"
    raise CallError(f"{part.id} {hangs} already", hint=hint)


def _refuse_in_the_way(build: Build, part: str, mount: str) -> None:
    there = [each.id for each in build.parts if each.on == f"{part}.{mount}"]
    if mount and there:
        ways = " ".join(f"{name}=" for name in there)
        raise CallError(
            f"{listed(there, 'and')} sits on {part}.{mount}", hint=f"take it off, {ways}"
        )


def _turned(build: Build, words: Sequence[str]) -> Iterator[tuple[str, float]]:
    for each in words:
        name, equals, angle = each.partition("=")
        if not equals:
            hint = "write PART=ANGLE, such as screen=180deg"
            raise CallError(f"{quoted(each)} does not say how far it turns", hint=hint)
        part, by = part_named(build, name), parse_loose(angle, RADIAN, "deg")
        _refuse_unturned(build.part(part), by)
        yield part, by


def _refuse_unturned(part: Part, by: float) -> None:
    """An angle is what it is turned from where it is, and not what it is turned by in the end."""
    if is_none(by):
        far = f", {told(part.turn)}" if part.turn else ""
        hint = f"say how far to turn it from there, or --keep {part.id} to leave it as it is"
        raise CallError(f"{part.id} would stay as it is{far}", hint=hint)


def _refuse_twice(names: Sequence[str]) -> None:
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice:
        raise CallError(f"two things were said of {twice}", hint="keep one of them")


def _converted(
    part: Part, hung: Mapping[str, str], turned: Mapping[str, float], mode: Mode
) -> Part:
    if part.id in hung:
        return replace(part, by=hung[part.id] or None, turn=further(part, pi, mode))
    if part.id in turned:
        return replace(part, turn=further(part, turned[part.id], mode))
    return part


def _moved(
    exchanged: Exchanged, hung: Mapping[str, str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What comes off and what goes on, with what is hung another way and all that sits on it."""
    build = exchanged.build
    moved = [other for name in hung for other in (name, *above(build, name))]
    both = [name for name in reversed(moved) if name not in exchanged.fitted]
    off = dict.fromkeys([*exchanged.off, *both])
    return tuple(off), going_on(build, [*exchanged.fitted, *moved])
