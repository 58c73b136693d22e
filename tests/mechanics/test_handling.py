import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from riglog.mechanics.arrays import FloatArray
from riglog.mechanics.handling import (
    fall_time,
    hold_force,
    hold_torque,
    swing_during_acceleration,
    swing_from_acceleration,
    swing_from_step,
)
from riglog.mechanics.pendulum import drop_time
from riglog.mechanics.pivot import pivot_height

GRAVITY = 9.80665


def peak_of_motion(d: float, k2: float, x: float, speed: float, acceleration: float) -> float:
    """Greatest lean from rest of a rig whose pivot moves, stepped through time."""
    i2, rest = k2 + d * d + x * x, math.atan2(x, d)

    def motion(_time: float, state: FloatArray) -> tuple[float, float]:
        lean, rate = state
        down = d * math.sin(lean) - x * math.cos(lean)
        along = d * math.cos(lean) + x * math.sin(lean)
        return rate, (acceleration * along - GRAVITY * down) / i2

    def turns(_time: float, state: FloatArray) -> float:
        return float(state[1])

    turns.terminal, turns.direction = True, -1  # type: ignore[attr-defined]  # scipy's way to ask
    start = rest, speed * math.hypot(x, d) / i2
    solution = solve_ivp(
        motion, (0.0, 60.0), start, method="DOP853", rtol=1e-12, atol=1e-13, events=turns
    )
    return float(solution.y_events[0][0][0]) - rest


def test_torque_that_holds_a_tilt_balances_the_weight() -> None:
    # Level with the horizon the whole weight hangs on the height.
    assert math.isclose(hold_torque(17.0, 0.0045, math.pi / 2), 17.0 * GRAVITY * 0.0045)
    assert hold_torque(17.0, 0.0045, 0.0) == 0.0
    # A center of gravity forward pulls the nose down: upright, the hand must push it up.
    assert hold_torque(17.0, 0.0045, 0.0, x_m=0.001) < 0.0
    assert math.isclose(hold_torque(17.0, 0.0045, math.atan2(0.001, 0.0045), x_m=0.001), 0.0,
                        abs_tol=1e-15)  # fmt: skip


@given(st.floats(1e-4, 0.02), st.floats(-3.0, 3.0), st.floats(0.0, 0.01))
def test_friction_takes_its_share_of_holding(d: float, tilt: float, friction: float) -> None:
    bare = float(hold_torque(10.0, d, tilt))
    eased = float(hold_torque(10.0, d, tilt, friction_m=friction))
    assert math.isclose(abs(eased), max(abs(bare) - 98.0665 * friction, 0.0), abs_tol=1e-12)
    assert eased * bare >= 0.0


def test_a_longer_grip_holds_easier() -> None:
    assert hold_force([0.75, 0.75], [0.15, 0.30]).tolist() == [5.0, 2.5]
    with pytest.raises(ValueError, match="holds nothing"):
        hold_force(0.75, 0.0)


def test_a_fall_is_a_drop_between_two_tilts() -> None:
    down = fall_time(0.0045, 0.1156, from_rad=1.2, to_rad=0.3, x_m=0.0003)
    expected = drop_time(0.0045, 0.1156, release_rad=1.2, stop_rad=0.3, x_m=0.0003)
    assert math.isclose(down, expected, rel_tol=1e-14)
    mirrored = fall_time(0.0045, 0.1156, from_rad=-1.2, to_rad=-0.3, x_m=-0.0003)
    assert math.isclose(mirrored, down, rel_tol=1e-14)


def test_falls_of_one_swing_add_up() -> None:
    # Through a point on the way it is moving, so the rest takes less than from rest there.
    whole = fall_time(0.0045, 0.1156, from_rad=1.0, to_rad=0.0)
    first = fall_time(0.0045, 0.1156, from_rad=1.0, to_rad=0.5)
    second = fall_time(0.0045, 0.1156, from_rad=0.5, to_rad=0.0)
    assert first < whole < first + second


def test_a_top_heavy_rig_falls_outward() -> None:
    # Stepped through time from 5 to 60 degrees.
    d, k2 = -0.002, 0.1

    def motion(_time: float, state: FloatArray) -> tuple[float, float]:
        return state[1], -GRAVITY * d * math.sin(state[0]) / (k2 + d * d)

    def line(_time: float, state: FloatArray) -> float:
        return float(state[0]) - math.radians(60.0)

    solution = solve_ivp(
        motion, (0.0, 60.0), (math.radians(5.0), 0.0),
        method="DOP853", rtol=1e-12, atol=1e-13, events=line,
    )  # fmt: skip
    stepped = solution.t_events[0][0]
    falls = fall_time(d, k2, from_rad=math.radians(5.0), to_rad=math.radians(60.0))
    assert math.isclose(falls, stepped, rel_tol=1e-9)
    with pytest.raises(ValueError, match="does not pass"):
        fall_time(d, k2, from_rad=math.radians(60.0), to_rad=math.radians(5.0))


def test_many_falls_at_once_each_go_their_way() -> None:
    times = fall_time([0.0045, -0.002], 0.1, from_rad=[1.0, 0.1], to_rad=[0.2, 1.0])
    assert math.isclose(times[0], fall_time(0.0045, 0.1, from_rad=1.0, to_rad=0.2), rel_tol=1e-14)
    assert math.isclose(times[1], fall_time(-0.002, 0.1, from_rad=0.1, to_rad=1.0), rel_tol=1e-14)


@pytest.mark.parametrize("x", [0.0, 0.0008, -0.0008])
@pytest.mark.parametrize("speed", [0.5, 1.5])
def test_a_start_swings_the_rig_as_far_as_stepping_through_time_says(
    speed: float, x: float
) -> None:
    peak = swing_from_step(0.0045, 0.1156, speed, x_m=x)
    assert math.isclose(peak, peak_of_motion(0.0045, 0.1156, x, speed, 0.0), rel_tol=1e-9)
    assert peak == swing_from_step(0.0045, 0.1156, -speed, x_m=x)


def test_a_long_drop_time_hardly_swings() -> None:
    swings = np.degrees(swing_from_step([0.0101, 0.0045, 0.0016], 0.34**2, 1.5))
    assert np.all(np.diff(swings) < 0.0)
    assert swings[2] < 4.0


def test_a_hit_hard_enough_turns_the_rig_right_over() -> None:
    # The whole swing takes v^2 r = 4 g (k^2 + r^2).
    over = math.sqrt(4.0 * GRAVITY * (0.04 + 0.01) / 0.1)
    assert swing_from_step(0.1, 0.04, 1.0001 * over) == math.pi
    assert swing_from_step(0.1, 0.04, 0.999 * over) < 0.98 * math.pi
    with pytest.raises(ValueError, match="does not hang"):
        swing_from_step(-0.001, 0.1, 1.0)


@pytest.mark.parametrize("d", [0.002, 0.0045])
@pytest.mark.parametrize("x", [0.0, 0.0005])
def test_a_held_acceleration_swings_any_rig_equally_far(d: float, x: float) -> None:
    stepped = peak_of_motion(d, 0.1156, x, 0.0, 1.2)
    # Stepped until it turns round; whichever way, it swings about where down then is.
    assert math.isclose(swing_from_acceleration(1.2), stepped, rel_tol=1e-9)
    assert swing_from_acceleration(-1.2) == swing_from_acceleration(1.2)


@pytest.mark.parametrize(("drop_s", "time"), [(2.0, 0.6), (3.0, 3.0), (8.0, 3.0), (1.2, 9.0)])
def test_an_acceleration_that_holds_for_a_while_swings_it_as_the_solver_says(
    drop_s: float, time: float
) -> None:
    d, k2, pull = float(pivot_height(drop_s, 0.34**2)), 0.34**2, 1.5

    def motion(_: float, state: list[float]) -> list[float]:
        angle, speed = state
        return [speed, d * (pull * np.cos(angle) - GRAVITY * np.sin(angle)) / (k2 + d * d)]

    run = solve_ivp(motion, (0.0, time), [0.0, 0.0], rtol=1e-10, atol=1e-12, max_step=0.01)
    assert swing_during_acceleration(d, k2, pull, time) == pytest.approx(run.y[0].max(), abs=2e-5)


def test_no_acceleration_is_no_swing_and_a_long_one_the_whole() -> None:
    assert swing_during_acceleration(0.0045, 0.34**2, 0.0, 3.0) == 0.0
    whole = swing_from_acceleration(1.5)
    assert swing_during_acceleration(0.0045, 0.34**2, -1.5, 60.0) == pytest.approx(whole, abs=1e-5)
    with pytest.raises(ValueError, match="bottom-heavy"):
        swing_during_acceleration(-0.001, 0.34**2, 1.5, 3.0)
