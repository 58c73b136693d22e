"""What `shot` is asked, in words and as figures."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, quoted
from riglog.jobs.shot_answers import Shot
from riglog.units import (
    METER,
    METER_PER_SECOND,
    METER_PER_SECOND_SQUARED,
    RADIAN,
    SECOND,
    parse_loose,
)

if TYPE_CHECKING:
    from riglog.units import Unit

# A grip on the post, a walk, and the tilt of a look down that a hand holds, where nobody said.
_GRIP_M, _WALK_M_S, _HELD_RAD = 0.25, 1.4, 0.7853981633974483
# A round figure on a scale in inches: 10 in.
_GRIPS_M = {"in": 0.254}
_HORIZONTAL = 1.5707963267948966


class ShotQuestion(NamedTuple):
    """What is asked of the shot, as typed."""

    from_: str | None = None
    to: str | None = None
    over: str | None = None
    grip: str | None = None
    walk: str | None = None
    accel: str | None = None
    for_: str | None = None
    lean: str | None = None
    drops: tuple[str, ...] = ()


def understood(question: ShotQuestion, unit: str = "mm") -> Shot:
    """The words as figures; ``unit`` is that of the rig's scale, in which a bare grip is.

    Raises
    ------
    CallError
        If one is none, or a move is not told whole.
    """
    start, end = (_given(text, RADIAN, "deg", 180.0) for text in (question.from_, question.to))
    over = _given(question.over, SECOND, "s", 60.0, least=0.0)
    told = [each is not None for each in (start, end, over)]
    if any(told) and not all(told):
        raise CallError("a move needs all three", hint="as --from 80deg --to 0deg --over 6s")
    if start is not None and start == end:
        raise CallError("a move has two angles", hint="as --from 80deg --to 0deg --over 6s")
    accel = _given(question.accel, METER_PER_SECOND_SQUARED, "m/s2", 20.0, least=0.0)
    hold = _given(question.for_, SECOND, "s", 60.0, least=0.0)
    if hold is not None and accel is None:
        raise CallError("--for says how long what holds", hint="add --accel 1.5m/s2")
    lean = _given(question.lean, RADIAN, "deg", 80.0)
    held = _HELD_RAD if start is None or end is None else max(abs(start), abs(end))
    return Shot(
        held_rad=min(held, _HORIZONTAL),
        grip_m=_given(question.grip, METER, unit, 2.0, least=0.0) or _GRIPS_M.get(unit, _GRIP_M),
        walk_m_s=_given(question.walk, METER_PER_SECOND, "m/s", 15.0, least=0.0) or _WALK_M_S,
        from_rad=start,
        to_rad=end,
        over_s=over,
        accel_m_s2=accel,
        for_s=hold,
        lean_rad=lean,
    )


def _given(
    text: str | None, unit: Unit, symbol: str, most: float, least: float | None = None
) -> float | None:
    """A quantity as typed, of which ``most`` of the symbol's unit is the most; above ``least``."""
    if text is None:
        return None
    value = parse_loose(text, unit, symbol)
    symbol = "m" if unit.si == "m" else symbol
    limit = parse_loose(f"{most:g}", unit, symbol)
    if abs(value) > limit or (least is not None and value <= least):
        above = f"more than {least:g} and " if least is not None else ""
        shown = f"{most:g} {symbol}"
        raise CallError(f"{quoted(text)} is out of range", hint=f"it is {above}at most {shown}")
    return value
