"""Friction where a rig stands: the torque, the hold band, and what it does to a drop."""

from __future__ import annotations

from math import asin
from typing import TYPE_CHECKING

from riglog.estimation.priors import FRICTION_SCALE_N_M, HALF_NORMAL
from riglog.jobs.answers import Value
from riglog.jobs.drop_times import time_of
from riglog.jobs.friction_answers import Friction

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging

# Known this much better than usual, readings told it.
_TOLD = 0.9


def friction_of(hanging: Hanging) -> Friction:
    """What is known of friction; of the hold band only where it is known where the pivot stands."""
    torque = hanging.friction()
    low, high = torque.interval()
    usual = FRICTION_SCALE_N_M * HALF_NORMAL[1]
    return Friction(
        Value(max(torque.value, 0.0), max(low, 0.0), max(high, 0.0)),
        _hold(hanging),
        told=torque.standard_deviation < _TOLD * usual,
        adds_s=_adds(hanging),
    )


def _hold(hanging: Hanging) -> Value:
    """Tilt within which it stays put; none of a rig that is top heavy, or whose mark is unknown.

    As neutral comes nearer it stays put at any tilt, so where it may be top heavy no tilt bounds
    the band.
    """
    if "pivot" not in hanging.hung.settings:
        return Value(None, None, None)
    plane = hanging.hold()
    if float(plane.value[1]) <= 0:
        return Value(None, None, None)
    sine = plane.quotient()
    return Value(_tilt(sine.value), _tilt(sine.low), _tilt(sine.high) if sine.high < 1 else None)


def _tilt(sine: float) -> float:
    """The tilt with that sine; a right angle where friction holds any."""
    return asin(min(sine, 1.0))


def _adds(hanging: Hanging) -> float | None:
    if "pivot" not in hanging.hung.settings:
        return None
    seen = hanging.depth_m(hanging.positions_m, hanging.hangs)
    below_m = float(hanging.hold().value[1])
    k2 = float(hanging.hangs.gyration_m2[0])
    with_it, without = time_of(seen, k2), time_of(below_m, k2)
    return None if with_it is None or without is None else max(with_it - without, 0.0)
