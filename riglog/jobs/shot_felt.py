"""How a build feels at each height of its pivot: what a hand holds, how it falls and swings."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.heights import FRICTION_SHIFT
from riglog.mechanics.arrays import STANDARD_GRAVITY
from riglog.mechanics.balance import hold_band
from riglog.mechanics.handling import (
    fall_time,
    hold_force,
    hold_torque,
    swing_during_acceleration,
    swing_from_acceleration,
    swing_from_step,
)
from riglog.mechanics.pendulum import reaches

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.lineup import Lineup
    from riglog.jobs.shot_answers import Shot
    from riglog.mechanics.arrays import FloatArray

_HORIZONTAL = np.pi / 2


class Rig(NamedTuple):
    """What the mechanics need of a build: all but its height."""

    mass_kg: float
    k2_m2: float
    friction_m: float

    @classmethod
    def of(cls, hanging: Hanging) -> Rig:
        """By the best fit."""
        hangs = hanging.hangs
        weight = STANDARD_GRAVITY * float(hangs.mass_kg)
        friction = max(float(hanging.theta[hanging.tree.friction]), 0.0) / weight
        return cls(float(hangs.mass_kg), float(hangs.gyration_m2[0]), friction)


class Felt(NamedTuple):
    """How it feels at each of d heights, (d,) each."""

    depth_m: FloatArray
    force_n: FloatArray
    fall_s: FloatArray
    swing_rad: FloatArray
    accel_rad: FloatArray | None
    band_rad: FloatArray
    lean_to_m: FloatArray | None

    @classmethod
    def of(cls, rig: Rig, asked: Shot, lineup: Lineup, hanging: Hanging) -> Felt:
        """All of it at once; the height is that of the center of gravity, friction beside it."""
        d = np.maximum(lineup.depth_m[0] + FRICTION_SHIFT * rig.friction_m, 1e-9)
        k2 = lineup.gyration_m2[0]
        torque = hold_torque(rig.mass_kg, d, asked.held_rad, friction_m=rig.friction_m)
        return cls(
            d,
            abs(hold_force(torque, asked.grip_m)),
            _fall(rig, asked, d, k2),
            swing_from_step(d, k2, asked.walk_m_s),
            _accelerated(asked, d, k2),
            hold_band(d, 0.0, rig.friction_m),
            _leaning(asked, lineup, hanging, d),
        )


def _fall(rig: Rig, asked: Shot, d: FloatArray, k2: FloatArray) -> FloatArray:
    """Time to fall through the move, or from horizontal; nan where it does not get there."""
    release, stop = (_HORIZONTAL, 0.0) if asked.over_s is None else fall_of(asked)
    falls = reaches(d, release_rad=release, stop_rad=stop, friction_m=rig.friction_m)
    found = np.full(len(d), np.nan)
    if np.any(falls):
        found[falls] = fall_time(
            d[falls], k2[falls], from_rad=release, to_rad=stop, friction_m=rig.friction_m
        )
    return found


def _accelerated(asked: Shot, d: FloatArray, k2: FloatArray) -> FloatArray | None:
    if asked.accel_m_s2 is None:
        return None
    if asked.for_s is None:
        return np.full(len(d), float(swing_from_acceleration(asked.accel_m_s2)))
    return swing_during_acceleration(d, k2, asked.accel_m_s2, asked.for_s)


def _leaning(asked: Shot, lineup: Lineup, hanging: Hanging, d: FloatArray) -> FloatArray | None:
    """Readings of the fore-aft slide at which it hangs at the lean asked for."""
    if asked.lean_rad is None:
        return None
    index = int(lineup.reduced.free[0, 0])
    trimmed = lineup.reduced.start_m[0, 0] + lineup.moved_m[0, :, 0]
    positions = trimmed + d * np.tan(asked.lean_rad) / lineup.reduced.off_per[0, 0, 0]
    scale = hanging.tree.scales[index].scale
    return np.array([scale.reading(float(each)) for each in positions])


def fall_of(asked: Shot) -> tuple[float, float]:
    """Release and stop of the fall that the move is, or that it undoes; the release is positive."""
    assert asked.from_rad is not None
    assert asked.to_rad is not None
    far, near = sorted((asked.from_rad, asked.to_rad), key=abs, reverse=True)
    sign = 1.0 if far > 0 else -1.0
    return sign * far, sign * near
