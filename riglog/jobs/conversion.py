"""From high to low mode and back: what is hung another way, what is turned, what stays.

Turning a rig over turns everything on it over. A camera that is to stand upright again is hung by
a mount of its own, such as its top, and turned half over about the fore-aft axis; a monitor is
turned where it sits. Which of it is wanted only a person can say.
"""

from __future__ import annotations

from dataclasses import replace
from math import isclose, pi
from typing import TYPE_CHECKING, Literal, NamedTuple

from riglog.errors import CallError, UnsaidError, listed, mend_word, quoted
from riglog.jobs.exchange import Exchanged, above, part_named
from riglog.records import Turn
from riglog.units import RADIAN, exact, parse_loose

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from riglog.jobs.exchange import Lookup
    from riglog.jobs.swap_words import Conversion
    from riglog.records import Build, Part
    from riglog.records.support import Axis

Mode = Literal["high", "low"]
_EPSILON = 1e-9


class Unsaid(NamedTuple):
    """A part of which nobody said what becomes of it; ``mounts`` are those it could hang by."""

    part: str
    kind: str
    mounts: tuple[str, ...]

    @property
    def words(self) -> str:
        """What could be typed, with the first of its mounts as an example."""
        if self.kind == "monitor":
            return f"--turn {self.part}=180deg"
        return f"--by {self.part}={self.mounts[0] if self.mounts else 'MOUNT'}"


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
    _refuse_unsaid(build, {*hung, *turned, *kept, *righted}, mode, component)
    parts = tuple(_converted(part, hung, turned) for part in build.parts)
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
        _refuse_in_the_way(build, part, mount)
        yield part, mount


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
        yield part_named(build, name), parse_loose(angle, RADIAN, "deg")


def _refuse_twice(names: Sequence[str]) -> None:
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice:
        raise CallError(f"two things were said of {twice}", hint="keep one of them")


def _refuse_unsaid(build: Build, said: set[str], mode: Mode, component: Lookup) -> None:
    """Name every camera and monitor that nothing was said of."""
    unsaid = []
    for part in build.parts:
        noun = component(part.component)
        if noun.kind in {"camera", "monitor"} and part.id not in said:
            unsaid.append(Unsaid(part.id, noun.kind, tuple(_free_mounts(build, part, noun.mounts))))
    if unsaid:
        names = [each.part for each in unsaid]
        message = (
            f"nobody said how {listed(names, 'and')} hang{'s' * (len(names) == 1)} in {mode} mode"
        )
        kept = " ".join(f"--keep {name}" for name in names)
        hint = f"add {' '.join(each.words for each in unsaid)}; or, left as they are, {kept}"
        raise UnsaidError(message, hint=hint, asked=unsaid)


def _free_mounts(build: Build, part: Part, mounts: Mapping[str, object]) -> list[str]:
    """Its mounts that nothing sits on; one called top is the likeliest to hang by."""
    taken = {each.on for each in build.parts}
    free = [name for name in mounts if f"{part.id}.{name}" not in taken]
    return sorted(free, key=lambda name: (name != "top", name))


def _converted(part: Part, hung: Mapping[str, str], turned: Mapping[str, float]) -> Part:
    if part.id in hung:
        return replace(part, by=hung[part.id] or None, turn=_further(part, pi))
    if part.id in turned:
        return replace(part, turn=_further(part, turned[part.id]))
    return part


def _further(part: Part, by: float) -> Turn | None:
    """The part's turn after another one about the fore-aft axis of what it sits on."""
    turn = part.turn or Turn(about="x", by=0.0)
    if turn.about == "x":
        angle = (turn.by + by + pi) % (2 * pi) - pi
        return None if abs(angle) < _EPSILON else Turn(about="x", by=_plain(angle))
    # Two half turns about axes across each other are one about the third.
    if isclose(abs(turn.by), pi) and isclose(abs(by), pi):
        third: Axis = "y" if turn.about == "z" else "z"
        return Turn(about=third, by=pi)
    raise CallError(
        f"{part.id} is turned by {exact(turn.by, RADIAN)} about {turn.about} already",
        hint="write its turn in low mode into a document",
    )


def _plain(angle: float) -> float:
    """Half a turn either way is the same."""
    return pi if isclose(abs(angle), pi) else angle


def _moved(
    exchanged: Exchanged, hung: Mapping[str, str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What comes off and what goes on, with what is hung another way and all that sits on it."""
    off, fitted = list(exchanged.off), list(exchanged.fitted)
    for name in hung:
        there = [name, *above(exchanged.build, name)]
        fitted += [each for each in there if each not in fitted]
        before = [each for each in reversed(there) if each not in exchanged.fitted]
        off += [each for each in before if each not in off]
    return tuple(off), tuple(fitted)
