"""The fine move, against rigs drawn from what a drop test leaves open."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
import pytest
from estimation.scenes import POST_ONE, hung, kit
from scipy.special import ellipk  # type: ignore[import-untyped]  # scipy ships no types

from riglog.estimation.inference import Inference
from riglog.jobs.fine_move import FineMove, Measured, expected, fine_move

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging

FloatArray = npt.NDArray[np.float64]
K2 = 0.34**2
STEP_M = POST_ONE.adjusters[0].step
DRAWS = 20_000


def height(time_s: float, k2: float | FloatArray) -> FloatArray:
    length = 9.80665 * (time_s / float(ellipk(0.5))) ** 2
    return np.asarray((length - np.sqrt(length**2 - 4 * k2)) / 2)


def drop_s(height_m: float | FloatArray, k2: float | FloatArray) -> FloatArray:
    quarter = float(ellipk(0.5))
    return np.asarray(quarter * np.sqrt((k2 + height_m**2) / (9.80665 * height_m)))


def standing(pivot: float | None = 0.505) -> Hanging:
    stood = hung()
    settings = {name: at for name, at in stood.settings.items() if name != "pivot"}
    if pivot is not None:
        settings["pivot"] = pivot
    return Inference(kit(), [stood._replace(settings=settings)]).stands[0]


def told(time_s: float, *, timing_sd_s: float = 0.06, log_sd: float = 0.1) -> Measured:
    """What a drop tells: its height at the best k^2, and how k^2 is known."""
    slope = (height(time_s + 1e-4, K2) - height(time_s - 1e-4, K2)) / 2e-4
    return Measured(float(height(time_s, K2)), float(abs(slope)) * timing_sd_s, K2, log_sd)


def moved(drop: Measured, move: FineMove, seed: int = 5) -> tuple[FloatArray, FloatArray]:
    """True heights after the move, and true k^2, of rigs as they might be."""
    rng = np.random.default_rng(seed)
    factor = np.exp(drop.log_sd * rng.standard_normal(DRAWS))
    before = factor * (drop.depth_m + drop.depth_sd_m * rng.standard_normal(DRAWS))
    slid = move.now_m + 0.3 * STEP_M * rng.standard_normal(DRAWS)
    return before + slid, K2 * factor


@pytest.mark.parametrize("wanted", [2.0, 3.0, 4.0])
@pytest.mark.parametrize("time", [1.6, 2.5, 3.4])
def test_the_whole_way_is_the_difference_of_two_heights(time: float, wanted: float) -> None:
    move = fine_move(standing(), told(time), wanted)
    assert move.reading.value == pytest.approx(height(wanted, K2) - height(time, K2), abs=1e-9)
    if not move.careful:
        assert abs(move.now_m - (move.reading.value or 0)) <= STEP_M / 2 + 1e-9


@pytest.mark.parametrize("log_sd", [0.02, 0.1, 0.5])
@pytest.mark.parametrize(("time", "wanted"), [(2.0, 3.0), (3.0, 5.0), (2.0, 8.0), (4.0, 2.0)])
def test_bounds_hold_the_way_of_95_in_100_rigs(time: float, wanted: float, log_sd: float) -> None:
    drop = told(time, log_sd=log_sd)
    known = fine_move(standing(), drop, wanted).reading
    rng = np.random.default_rng(7)
    factor = np.exp(log_sd * rng.standard_normal(DRAWS))
    before = factor * (drop.depth_m + drop.depth_sd_m * rng.standard_normal(DRAWS))
    way = height(wanted, K2 * factor) - before
    assert known.low is not None
    assert known.high is not None
    held = float(np.mean((way > known.low) & (way < known.high)))
    assert 0.93 < held < 0.985


@pytest.mark.parametrize("log_sd", [0.02, 0.1, 0.5])
@pytest.mark.parametrize("timing_sd", [0.02, 0.1, 0.3])
@pytest.mark.parametrize(("time", "wanted"), [(2.0, 3.0), (3.0, 5.0), (1.6, 8.0), (4.0, 6.0)])
def test_after_the_move_a_rig_is_top_heavy_once_in_two_hundred_at_most(
    time: float, wanted: float, timing_sd: float, log_sd: float
) -> None:
    drop = told(time, timing_sd_s=timing_sd, log_sd=log_sd)
    move = fine_move(standing(), drop, wanted)
    after, _ = moved(drop, move)
    before = drop.depth_m / drop.depth_sd_m
    if before < 2.7:  # where it stands nobody is surer than that
        assert move.now_m == 0
        return
    assert float(np.mean(after <= 0)) <= 1 / 150


@pytest.mark.parametrize("log_sd", [0.02, 0.1, 0.4])
@pytest.mark.parametrize(("time", "wanted"), [(2.0, 3.0), (3.0, 4.0), (4.0, 2.0)])
def test_the_drop_expected_after_it_holds_that_of_95_in_100_rigs(
    time: float, wanted: float, log_sd: float
) -> None:
    drop = told(time, log_sd=log_sd, timing_sd_s=0.05)
    move = fine_move(standing(), drop, wanted)
    after, k2 = moved(drop, move)
    times = np.where(after > 0, drop_s(np.maximum(after, 1e-9), k2), np.inf)
    assert move.drop_s.low is not None
    high = np.inf if move.drop_s.high is None else move.drop_s.high
    held = float(np.mean((times > move.drop_s.low) & (times < high)))
    assert 0.93 < held < 0.995
    assert move.drop_s.value == pytest.approx(float(np.median(times)), rel=0.02)


def test_where_it_stands_the_drop_is_as_timed() -> None:
    there = expected(told(3.0, timing_sd_s=0.1), 0.0, STEP_M)
    assert there.value == pytest.approx(3.0)
    assert there.low == pytest.approx(3.0 - 0.19, abs=0.03)
    assert there.high == pytest.approx(3.0 + 0.2, abs=0.05)


def test_a_part_of_the_way_ends_on_a_step_of_the_scale() -> None:
    for pivot in (0.5, 0.50013, 0.5003):
        move = fine_move(standing(pivot), told(1.8, timing_sd_s=0.3, log_sd=0.4), 8.0)
        assert move.careful
        assert move.now_m < 0
        steps = (pivot + move.now_m) / STEP_M
        assert steps == pytest.approx(round(steps), abs=1e-5)


def test_from_an_unknown_mark_the_move_itself_is_of_whole_steps() -> None:
    move = fine_move(standing(None), told(2.0), 3.0)
    assert move.now_m / STEP_M == pytest.approx(round(move.now_m / STEP_M), abs=1e-6)
    assert move.beyond_m == 0


def test_the_better_k_is_known_the_further_it_dares_to_go() -> None:
    ways = [
        fine_move(standing(), told(2.0, log_sd=log_sd), 6.0).now_m for log_sd in (0.02, 0.2, 0.6)
    ]
    assert ways == sorted(ways)
    assert ways[0] < ways[2] < 0


def test_at_the_end_of_the_travel_the_move_ends() -> None:
    low, high = 0.38, 0.6
    assert POST_ONE.adjusters[0].travel == (low, high)
    up = fine_move(standing(0.598), told(3.0), 1.5)
    assert 0.598 + up.now_m == pytest.approx(high)
    assert up.beyond_m == pytest.approx((up.reading.value or 0) - 0.002, abs=STEP_M)
    down = fine_move(standing(0.381), told(1.5), 3.0)
    assert 0.381 + down.now_m == pytest.approx(low)
    assert down.toward == "down"
