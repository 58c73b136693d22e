"""Swings under dry friction, by an ODE solver: nothing of riglog is used here."""

from __future__ import annotations

import numpy as np
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]  # scipy ships no types

GRAVITY = 9.80665


def dying_swings(
    d_m: float, k2_m2: float, friction_m: float, first_rad: float, swings: int
) -> tuple[float, float]:
    """Time [s] of so many full swings from rest at an amplitude [rad], and the last amplitude.

    Friction, a torque over weight [m], turns about at each end; so the way is solved from end to
    end, the torque constant on each.
    """
    time, angle = 0.0, first_rad
    for _ in range(2 * swings):
        assert not stays_put(d_m, friction_m, angle), "it stopped before"
        half, angle = _half_swing(d_m, k2_m2, friction_m, angle)
        time += half
    return time, angle


def stays_put(d_m: float, friction_m: float, tilt_rad: float) -> bool:
    """Whether dry friction holds a rig at a tilt."""
    return bool(abs(d_m * np.sin(tilt_rad)) <= friction_m)


def _half_swing(d_m: float, k2_m2: float, friction_m: float, angle: float) -> tuple[float, float]:
    way = np.sign(angle)

    def motion(_time: float, state: np.ndarray) -> list[float]:
        torque = -d_m * np.sin(state[0]) + way * friction_m
        return [state[1], GRAVITY * torque / (k2_m2 + d_m**2)]

    def turns(_time: float, state: np.ndarray) -> float:
        return float(way * state[1])

    turns.terminal, turns.direction = True, 1.0  # type: ignore[attr-defined]  # as it wants them
    # A little way off the end, where the speed is not zero any more.
    done = solve_ivp(
        motion, (0.0, 60.0), [angle, -way * 1e-9], events=turns, rtol=1e-10, atol=1e-12
    )
    return float(done.t_events[0][0]), float(done.y_events[0][0][0])
