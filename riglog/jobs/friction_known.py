"""Friction where a rig stands: the torque, the hold band, and what it does to a drop."""

from __future__ import annotations

from math import asin, log
from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.damping import friction_claim
from riglog.estimation.priors import FRICTION_SCALE_N_M, HALF_NORMAL
from riglog.jobs.answers import Value
from riglog.jobs.drop_times import time_of
from riglog.jobs.friction_answers import Friction

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.interval import Estimate
    from riglog.records import Hold, Swing

# Readings told it where they changed what is known as much as one that narrows it by a tenth does:
# by this much information [nat].
_TOLD = 0.0104


def friction_of(hanging: Hanging) -> Friction:
    """What is known of friction; of the hold band only where it is known where the pivot stands."""
    torque = hanging.friction()
    low, high = torque.interval()
    return Friction(
        Value(max(torque.value, 0.0), max(low, 0.0), max(high, 0.0)),
        _hold(hanging),
        told=_learned(torque) > _TOLD,
        adds_s=_adds(hanging),
    )


def _learned(torque: Estimate) -> float:
    """Divergence from what is usual, both taken as normal [nat].

    A stiff pivot may be known no better than a usual one, since it can be anything above: that it
    is stiff was told all the same.
    """
    usual, usual_sd = (FRICTION_SCALE_N_M * each for each in HALF_NORMAL)
    narrower = torque.standard_deviation / usual_sd
    moved = (torque.value - usual) / usual_sd
    return (narrower**2 - 1 + moved**2) / 2 - log(narrower)


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


def surprise(before: Hanging, reading: Hold | Swing) -> float | None:
    """How many standard deviations more friction a reading shows than was known before it.

    None where no reading had told friction, or where this one does not.
    """
    claim = friction_claim(reading)
    if claim is None or not friction_of(before).told:
        return None
    plane = before.hold()
    friction_m, below_m = (float(each) for each in plane.value)
    if below_m <= 0:
        return None
    way = np.array([-1.0, claim.value])
    off = claim.value * below_m - friction_m
    each = (plane.mean - plane.value) @ way
    variance = float(plane.weight @ (np.square(each) + way @ plane.covariance @ way))
    return off / float(np.hypot(variance**0.5, claim.sd * below_m))


def _adds(hanging: Hanging) -> float | None:
    if "pivot" not in hanging.hung.settings:
        return None
    seen = hanging.depth_m(hanging.positions_m, hanging.hangs)
    below_m = float(hanging.hold().value[1])
    k2 = float(hanging.hangs.gyration_m2[0])
    with_it, without = time_of(seen, k2), time_of(below_m, k2)
    return None if with_it is None or without is None else max(with_it - without, 0.0)
