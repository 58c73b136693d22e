"""`lean`: how it hangs, recorded; panned half round, what is the rig's and what its gimbal's."""

from __future__ import annotations

from math import atan2, pi
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, quoted
from riglog.estimation.priors import CENTERING_SD_M
from riglog.jobs.answers import Value
from riglog.jobs.cant import SEEN_RAD, leveled
from riglog.jobs.circumstances import Circumstances, Taken, taken
from riglog.jobs.common import named
from riglog.jobs.evidence import evidence_of
from riglog.jobs.friction import hanging_of, reading_warnings
from riglog.jobs.heads import refuse_head
from riglog.jobs.lean_answers import Attention, LeanAnswer, Way
from riglog.jobs.nose import slide
from riglog.records import Lean
from riglog.units import RADIAN, parse_loose

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.interval import Estimate
    from riglog.library import Library

# Known this much better than usual, readings told how the gimbal is centered.
_TOLD = 0.8
_STEEPEST = pi / 2


class LeanQuestion(NamedTuple):
    """A lean as typed: fore and aft, to the side, and where the rig was panned to."""

    said: Circumstances
    lean: str | None = None
    side: str | None = None
    pan: str | None = None


def lean(library: Library, question: LeanQuestion) -> LeanAnswer:
    """Record a lean first, then answer.

    Raises
    ------
    CallError
        If a word of it is wrong; then nothing is recorded.
    NoAnswerError
        If its powered head is switched off; then nothing is recorded either.
    """
    where = taken(library, question.said)
    told = {name: _angle(text) for name, text in (("lean", question.lean), ("side", question.side))}
    if set(told.values()) == {None}:
        raise CallError("no lean was told", hint="add it, as 2deg, nose down, or --side 1deg")
    pan = None if question.pan is None else parse_loose(question.pan, RADIAN, "deg")
    before = hanging_of(library, where)
    refuse_head(before, where.head)
    if pan is not None and before.tree.rig.type == "ring":
        raise CallError("a ring rig does not pan in its gimbal", hint="leave out --pan")
    reading = Lean(**where.fields, **told, pan=pan)  # type: ignore[arg-type]  # one by one they fit
    recorded = library.record_reading(reading, version=where.standing.name).entry
    return _answer(where, reading, recorded, hanging_of(library, where))


def _answer(where: Taken, reading: Lean, recorded: str, after: Hanging) -> LeanAnswer:
    ways = tuple(
        _way(after, along, angle)
        for along, angle in (("lean", reading.lean), ("side", reading.side))
        if angle is not None
    )
    alone = any(way.gimbal_m is None for way in ways)
    return LeanAnswer(
        named=named(where.standing, after),
        recorded=recorded,
        reading=reading,
        pivot=after.tree.scales[after.tree.pivot],
        mark=where.mark,
        ways=ways,
        reverse=alone and after.tree.rig.type == "post",
        evidence=evidence_of(after),
        cautions=("ring-sides",) if any(_sets_sides(way) for way in ways) else (),
        warnings=tuple(reading_warnings(after, where)),
    )


def _way(after: Hanging, along: str, read_rad: float) -> Way:
    if along == "side" and after.tree.rig.type == "ring":
        return _ring_side(after, read_rad)
    axis = 0 if along == "lean" else 1
    rig, centering = after.trim()[axis], after.centering()
    # Positive with the nose down, or the right side low, where y is negative in high mode.
    sign = 1.0 if axis == 0 else -after.tree.up
    depth = max(abs(float(after.lean().value[1])), 1e-6)
    rig_rad = atan2(sign * rig.value, depth)
    gimbal_m, gimbal_rad = None, None
    if centering and centering[axis].standard_deviation < _TOLD * CENTERING_SD_M:
        gimbal_m = _value(centering[axis])
        # An axis that lies forward leaves the center of gravity behind it.
        gimbal_rad = atan2(-sign * centering[axis].value, depth)
    return Way(
        "lean" if axis == 0 else "side", read_rad, _value(rig), rig_rad, gimbal_m, gimbal_rad,
        _attention(rig_rad, gimbal_rad), slide(after, rig, axis),
    )  # fmt: skip


def _ring_side(after: Hanging, read_rad: float) -> Way:
    """A ring to the side: its two pivots carry it, wherever its center of gravity lies."""
    unknown = Value(None, None, None)
    return Way(
        "side", read_rad, unknown, read_rad, None, None, _attention(read_rad, None), None,
        leveled(after, read_rad),
    )  # fmt: skip


def _sets_sides(way: Way) -> bool:
    return way.sides is not None and way.attention != "none"


def _attention(rig_rad: float, gimbal_rad: float | None) -> Attention:
    rig, gimbal = (abs(each) >= SEEN_RAD for each in (rig_rad, gimbal_rad or 0.0))
    if rig and gimbal:
        return "both"
    return "rig" if rig else "gimbal" if gimbal else "none"


def _value(known: Estimate) -> Value:
    return Value(known.value, *known.interval())


def _angle(text: str | None) -> float | None:
    if text is None:
        return None
    angle = parse_loose(text, RADIAN, "deg")
    if abs(angle) >= _STEEPEST:
        hint = "write an angle under 90 deg, positive with the nose down or the right side low"
        raise CallError(f"{quoted(text)} is no lean of a rig that hangs", hint=hint)
    return angle
