"""Turning a part further about the fore-aft axis of what it sits on, as a conversion does."""

from __future__ import annotations

from math import isclose, pi
from typing import TYPE_CHECKING

from riglog.errors import CallError
from riglog.records import Turn
from riglog.units import show

if TYPE_CHECKING:
    from riglog.records import Part
    from riglog.records.support import Axis

_EPSILON = 1e-9


def further(part: Part, by: float, mode: str) -> Turn | None:
    """The part's turn after another one [rad], for a mode; none if it is not turned any more.

    Raises
    ------
    CallError
        If both together are no turn about one axis.
    """
    turn = part.turn or Turn(about="x", by=0.0)
    if turn.about == "x":
        angle = within_half(turn.by + by)
        return None if is_none(angle) else Turn(about="x", by=_plain(angle))
    # Two half turns about axes across each other are one about the third.
    if is_half(turn.by) and is_half(by):
        third: Axis = "y" if turn.about == "z" else "z"
        return Turn(about=third, by=pi)
    raise CallError(
        f"{part.id} is {told(turn)} already",
        hint=f"write its turn in {mode} mode into a document",
    )


def can_turn_over(part: Part) -> bool:
    """Whether half a turn more is a turn about one axis."""
    return part.turn is None or part.turn.about == "x" or is_half(part.turn.by)


def told(turn: Turn) -> str:
    """How a part is turned, in words: ``turned by 180 deg about x``."""
    return f"turned by {show(turn.by, 'deg', 0)} about {turn.about}"


def within_half(angle: float) -> float:
    """The same angle between minus and plus half a turn [rad]."""
    return (angle + pi) % (2 * pi) - pi


def is_none(angle: float) -> bool:
    """Whether an angle is no turn at all, or whole ones."""
    return abs(within_half(angle)) < _EPSILON


def is_half(angle: float) -> bool:
    """Whether an angle is half a turn, either way."""
    return isclose(abs(angle), pi)


def _plain(angle: float) -> float:
    """Half a turn either way is the same."""
    return pi if is_half(angle) else angle
