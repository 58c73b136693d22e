"""What a motion sensor showed: tilts that are known, and what is made of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.mechanics.free_swing import Samples
from riglog.mechanics.trace_signal import Trace, tilt_rate

if TYPE_CHECKING:
    from riglog.mechanics.arrays import FloatArray

DEG = np.pi / 180.0
TIME = np.arange(0.0, 12.0, 0.01)
# Held at 90 degrees for 3 s, then to and fro about upright.
TILT = np.where(TIME < 3.0, 90.0, 90.0 * np.cos(1.5 * np.maximum(TIME - 3.0, 0.0))) * DEG


def noise(sd: float) -> FloatArray:
    values: FloatArray = np.random.default_rng(8).normal(0.0, sd, len(TIME))
    return values


def test_a_rate_is_told_by_the_axis_that_turns_whatever_lies_about_it() -> None:
    turning = np.sin(np.linspace(0.0, 9.0, 500))
    axis = np.array([0.6, 0.0, 0.8])
    assert np.allclose(abs(tilt_rate(turning[:, None] * axis)), abs(turning))


def test_angles_lie_about_upright_without_jumps_whatever_full_turns_a_phone_counts() -> None:
    jumping = (TILT + 2.9 + np.pi) % (2.0 * np.pi) - np.pi + 4.0 * np.pi
    trace = Trace.of(Samples(TIME, jumping, "angle"), np.pi / 2, 2.9)
    assert np.allclose(trace.angle, TILT + 2.9)


def test_the_integral_of_a_rate_is_the_tilt_less_where_it_began() -> None:
    rate = np.gradient(TILT, TIME) + 0.02
    trace = Trace.of(Samples(TIME, rate, "rate"), np.pi / 2, 0.0)
    assert abs(trace.bias - 0.02) < 1e-3
    assert np.allclose(trace.angle, TILT - TILT[0], atol=0.5 * DEG)


def test_a_tilt_turns_where_it_stops_and_goes_back() -> None:
    trace = Trace.of(Samples(TIME, TILT + noise(0.1 * DEG), "angle"), np.pi / 2, 0.0)
    swings = TIME[trace.turns[TIME[trace.turns] > 3.5]][:-1]
    assert np.allclose(swings, 3.0 + np.pi / 1.5 * np.arange(1, len(swings) + 1), atol=0.1)
    assert len(swings) == 4


def test_the_noise_of_a_sensor_is_told_beside_the_motion() -> None:
    for sd in (0.1 * DEG, 1.0 * DEG):
        trace = Trace.of(Samples(TIME, TILT + noise(sd), "angle"), np.pi / 2, 0.0)
        assert abs(trace.noise / sd - 1.0) < 0.1


def test_a_rig_rests_while_it_is_held_and_not_while_it_swings() -> None:
    trace = Trace.of(Samples(TIME, TILT + noise(0.1 * DEG), "angle"), np.pi / 2, 0.0)
    assert trace.still[(TIME > 0.3) & (TIME < 2.7)].all()
    falling = (TIME > 3.5) & (TIME < 4.5)
    assert not trace.still[falling].any()
