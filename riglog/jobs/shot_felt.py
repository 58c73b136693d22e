"""How a build feels at each height of its pivot: what a hand holds, how it falls and swings."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.heights import (
    FRICTION_SHIFT,
    FROM_HORIZONTAL,
    drop,
    height,
    shortest_s,
)
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
    from riglog.jobs.shot_answers import Shot
    from riglog.jobs.shot_draws import Draws
    from riglog.mechanics.arrays import FloatArray

_HORIZONTAL = np.pi / 2


class Rig(NamedTuple):
    """What the mechanics need of a build: all but its height. Figures, or (n, 1) drawn ones."""

    mass_kg: FloatArray
    gyration: FloatArray
    friction_n_m: FloatArray

    @classmethod
    def of(cls, hanging: Hanging, draws: Draws | None = None) -> Rig:
        """By the best fit, or as it may be; ``gyration`` is a factor of k^2 by the best fit."""
        mass = np.asarray(hanging.hangs.mass_kg)
        if draws is not None:
            return cls(mass * draws.mass, draws.gyration, draws.friction_n_m)
        friction = np.maximum(hanging.theta[hanging.tree.friction], 0.0)
        return cls(mass, np.ones(1), friction)

    @property
    def friction_m(self) -> FloatArray:
        """Friction over weight."""
        return np.asarray(self.friction_n_m / (STANDARD_GRAVITY * self.mass_kg))


class Felt(NamedTuple):
    """How it feels at each of d drop times, (..., d) each; nan where it does not fall through.

    ``seen_m`` is the height as a drop tells it, ``depth_m`` that of the center of gravity;
    ``up_s`` and ``down_s`` are the drop times a step higher and lower, infinite where it turns
    over.
    """

    seen_m: FloatArray
    depth_m: FloatArray
    force_n: FloatArray
    fall_s: FloatArray
    swing_rad: FloatArray
    accel_rad: FloatArray | None
    band_rad: FloatArray
    up_s: FloatArray
    down_s: FloatArray


def felt(rig: Rig, asked: Shot, drops_s: FloatArray, k2: FloatArray, step_m: float) -> Felt:
    """All of it at drop times (d,) of builds with k^2 (d,) by the best fit."""
    k2 = k2 * rig.gyration
    time = np.maximum(drops_s, shortest_s(FROM_HORIZONTAL, k2))
    seen = height(time, FROM_HORIZONTAL, k2)
    d = np.maximum(seen + FRICTION_SHIFT * rig.friction_m, 1e-9)
    torque = hold_torque(rig.mass_kg, d, asked.held_rad, friction_m=rig.friction_m)
    return Felt(
        seen,
        d,
        abs(hold_force(torque, asked.grip_m)),
        _fall(asked, d, k2, rig.friction_m),
        swing_from_step(d, k2, asked.walk_m_s),
        _accelerated(asked, d, k2),
        hold_band(d, 0.0, rig.friction_m),
        _drop(seen + step_m, k2),
        _drop(seen - step_m, k2),
    )


def _drop(seen_m: FloatArray, k2: FloatArray) -> FloatArray:
    hangs = seen_m > 0.0
    return np.where(hangs, drop(np.where(hangs, seen_m, 1.0), FROM_HORIZONTAL, k2), np.inf)


def _fall(asked: Shot, d: FloatArray, k2: FloatArray, friction_m: FloatArray) -> FloatArray:
    """Time to fall through the move, or from horizontal; nan where it does not get there."""
    release, stop = (_HORIZONTAL, 0.0) if asked.over_s is None else fall_of(asked)
    d, k2, friction_m = np.broadcast_arrays(d, k2, friction_m)
    falls = reaches(d, release_rad=release, stop_rad=stop, friction_m=friction_m)
    found = np.full(d.shape, np.nan)
    if np.any(falls):
        found[falls] = fall_time(
            d[falls], k2[falls], from_rad=release, to_rad=stop, friction_m=friction_m[falls]
        )
    return found


def _accelerated(asked: Shot, d: FloatArray, k2: FloatArray) -> FloatArray | None:
    if asked.accel_m_s2 is None:
        return None
    if asked.for_s is None:
        return np.full(d.shape, float(swing_from_acceleration(asked.accel_m_s2)))
    return swing_during_acceleration(d, k2, asked.accel_m_s2, asked.for_s)


def fall_of(asked: Shot) -> tuple[float, float]:
    """Release and stop of the fall that the move is, or that it undoes; the release is positive."""
    assert asked.from_rad is not None
    assert asked.to_rad is not None
    far, near = sorted((asked.from_rad, asked.to_rad), key=abs, reverse=True)
    sign = 1.0 if far > 0 else -1.0
    return sign * far, sign * near
