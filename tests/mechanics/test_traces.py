"""Drops in traces that scipy stepped through time, against when they were let go."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from riglog.mechanics.fall_fit import Fall
from riglog.mechanics.fall_guess import NoFall
from riglog.mechanics.free_swing import Samples, Shape
from riglog.mechanics.trace_signal import tilt_rate
from riglog.mechanics.traces import falls

if TYPE_CHECKING:
    from riglog.mechanics.arrays import FloatArray

RATE = 100.0
HOLD_S, W = 2.0, 0.618  # a drop of about 3 s
DEG = np.pi / 180.0


def swing(release: float, friction: float, time: FloatArray) -> FloatArray:
    """Lean at times after the release, friction turning its sign with the speed."""

    def motion(_time: float, state: FloatArray) -> tuple[float, float]:
        lean, speed = state
        return speed, -(W**2) * (np.sin(lean) + friction * np.tanh(speed / 1e-4))

    solution = solve_ivp(
        motion, (0.0, time[-1]), (release, 0.0), t_eval=time, method="LSODA", rtol=1e-10, atol=1e-11
    )
    leans: FloatArray = solution.y[0]
    return leans


def held_and_let_go(
    release: float = 90.0 * DEG, friction: float = 0.02, lasts: float = 12.0
) -> tuple[FloatArray, FloatArray, float]:
    """Times and leans of a hold and a swing, and when it first passed upright."""
    after = np.arange(0.0, lasts, 1.0 / RATE)
    leans = swing(release, friction, after)
    passes = int(np.flatnonzero(leans <= 0.0)[0])
    share = leans[passes - 1] / (leans[passes - 1] - leans[passes])
    upright = after[passes - 1] + share / RATE
    time = np.concatenate([np.arange(0.0, HOLD_S, 1.0 / RATE), HOLD_S + after])
    held = np.full(len(time) - len(after), release)
    return time, np.concatenate([held, leans]), upright


def noisy(values: FloatArray, sd: float) -> FloatArray:
    shown: FloatArray = values + np.random.default_rng(5).normal(0.0, sd, values.shape)
    return shown


def only(found: list[Fall | NoFall]) -> Fall:
    (fall,) = found
    assert isinstance(fall, Fall)
    return fall


def test_the_shape_of_a_free_swing_agrees_with_stepping_through_time() -> None:
    after = np.arange(0.0, 20.0, 0.01)
    lean, _ = Shape(1.5, 0.03, W * 20.0).at(W * after)
    assert np.allclose(lean, swing(1.5, 0.03, after), rtol=0.0, atol=2e-4)


@pytest.mark.parametrize("side", [1.0, -1.0])
@pytest.mark.parametrize("friction", [0.0, 0.02, 0.1])
def test_a_drop_is_found_where_it_was_let_go(side: float, friction: float) -> None:
    time, lean, drop = held_and_let_go(friction=friction)
    mounted = side * lean + 4.0 * DEG
    fall = only(falls(Samples(time, noisy(mounted, 0.2 * DEG), "angle")))
    assert abs(fall.release_s - HOLD_S) < 0.01
    assert abs(fall.drop_s - drop) < 0.006
    assert abs(fall.release_rad - 90.0 * DEG) < 0.3 * DEG
    assert abs(fall.friction - friction) < 0.003
    assert abs(fall.period_s - 2.0 * np.pi / W) < 0.02
    assert fall.swings >= 2


def test_rates_about_any_axis_of_the_phone_tell_the_same() -> None:
    time, lean, drop = held_and_let_go()
    axis = np.array([0.36, -0.48, 0.8])
    rates = np.gradient(lean, time)[:, None] * axis + 0.01 * np.array([1.0, -2.0, 1.5])
    fall = only(falls(Samples(time, tilt_rate(noisy(rates, 0.003)), "rate")))
    assert abs(fall.drop_s - drop) < 0.02
    assert abs(fall.friction - 0.02) < 0.004


def test_what_is_stated_of_a_drop_caught_at_upright_grows_honestly() -> None:
    time, lean, drop = held_and_let_go(lasts=12.0)
    caught = time < HOLD_S + drop + 0.02
    whole = only(falls(Samples(time, noisy(lean, 0.2 * DEG), "angle")))
    cut = only(falls(Samples(time[caught], noisy(lean[caught], 0.2 * DEG), "angle")))
    assert cut.swings == 0
    assert cut.sd_s > 5.0 * whole.sd_s
    assert abs(cut.drop_s - drop) < 3.0 * cut.sd_s


def test_a_hand_after_upright_does_not_touch_what_came_before() -> None:
    time, lean, drop = held_and_let_go()
    held_fast = time > HOLD_S + drop + 1.2
    lean[held_fast] = lean[np.argmax(held_fast)]
    fall = only(falls(Samples(time, noisy(lean, 0.2 * DEG), "angle")))
    assert abs(fall.drop_s - drop) < max(0.02, 3.0 * fall.sd_s)


def test_angles_that_jump_by_a_full_turn_are_one_motion() -> None:
    time, lean, drop = held_and_let_go()
    shown = (lean + 2.9 + np.pi) % (2.0 * np.pi) - np.pi
    fall = only(falls(Samples(time, noisy(shown, 0.1 * DEG), "angle"), upright_rad=2.9))
    assert abs(fall.drop_s - drop) < 0.01


def test_a_drop_from_thirty_degrees_is_found_by_rates_that_are_told_so() -> None:
    time, lean, drop = held_and_let_go(release=30.0 * DEG)
    rate = noisy(np.gradient(lean, time), 0.002)
    fall = only(falls(Samples(time, rate, "rate"), release_rad=30.0 * DEG))
    assert abs(fall.drop_s - drop) < 0.03


def led_by_hand(lasts: float = 3.0) -> tuple[FloatArray, FloatArray]:
    """Held, led down to the other side at one speed, and held again."""
    time = np.arange(0.0, 6.0 + lasts, 1.0 / RATE)
    share = np.clip((time - 3.0) / lasts, 0.0, 1.0)
    return time, 90.0 * DEG * (1.0 - 2.0 * share)


def why(found: list[Fall | NoFall]) -> set[str]:
    assert not any(isinstance(each, Fall) for each in found)
    return {each.why for each in found if isinstance(each, NoFall)}


def test_a_rig_led_down_by_hand_is_no_drop() -> None:
    time, lean = led_by_hand()
    assert why(falls(Samples(time, noisy(lean, 0.2 * DEG), "angle"))) == {"by-hand"}


def test_a_rig_that_hangs_still_has_no_drop() -> None:
    time = np.arange(0.0, 9.0, 1.0 / RATE)
    assert falls(Samples(time, noisy(np.zeros_like(time), 0.2 * DEG), "angle")) == []
    assert falls(Samples(time, noisy(np.zeros_like(time), 0.002), "rate")) == []


def test_swings_of_a_rig_that_was_never_held_are_no_drop() -> None:
    time = np.arange(0.0, 30.0, 1.0 / RATE)
    lean = swing(80.0 * DEG, 0.01, time)
    later = time > 2.0
    found = falls(Samples(time[later], noisy(lean[later], 0.2 * DEG), "angle"))
    assert not any(isinstance(each, Fall) for each in found)


@pytest.mark.parametrize(
    ("reason", "kind"),
    [("gap", "angle"), ("clipped", "rate"), ("clipped", "angle"), ("no-upright", "angle"),
     ("no-hold", "angle"), ("upside-down", "angle")],
)  # fmt: skip
def test_a_trace_that_cannot_tell_says_why_and_where(reason: str, kind: str) -> None:
    time, lean, drop = held_and_let_go()
    shown = noisy(lean, 0.2 * DEG) if kind == "angle" else noisy(np.gradient(lean, time), 0.002)
    keep = np.ones(len(time), dtype=np.bool_)
    if reason == "gap":
        keep = (time < HOLD_S + 0.3) | (time > HOLD_S + 0.3 + 0.4 * drop)
    elif reason == "clipped" and kind == "rate":
        shown = np.clip(shown, -0.5, 0.5)
    elif reason == "clipped":
        shown = np.minimum(shown, 60.0 * DEG)
    elif reason == "no-upright":
        keep = time < HOLD_S + 0.8 * drop
    elif reason == "no-hold":
        keep = time > HOLD_S - 0.05
    else:
        shown = shown + np.pi
    found = falls(Samples(time[keep], shown[keep], "angle" if kind == "angle" else "rate"))
    assert reason in why(found)
    assert all(0 <= each.sample < keep.sum() for each in found if isinstance(each, NoFall))


@pytest.mark.parametrize("times", [[0.0, 1.0], [0.0] * 20, list(range(20, 0, -1))])
def test_times_that_do_not_rise_break_the_contract(times: list[float]) -> None:
    with pytest.raises(ValueError, match="times that increase"):
        falls(Samples(np.array(times, dtype=np.float64), np.zeros(len(times)), "angle"))
