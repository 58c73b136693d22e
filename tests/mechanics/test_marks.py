import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from riglog.mechanics.marks import fit_marks, wanted_mark
from riglog.mechanics.pendulum import drop_time
from riglog.mechanics.pivot import pivot_height
from riglog.mechanics.swing import DROP_PER_PERIOD

# M. Kladivova & L. Mucha, "Physical pendulum - a simple experiment can give comprehensive
# information about a rigid body", Eur. J. Phys. 35 (2014) 025018, as transcribed in lesslines:
# pivot position [m] on a bar and period [s], both sides of the center of gravity.
PIVOTS = [
    (0.01, 1.338), (0.08, 1.265), (0.1, 1.248), (0.12, 1.235), (0.14, 1.223), (0.15, 1.218),
    (0.16, 1.22), (0.17, 1.214), (0.18, 1.216), (0.19, 1.215), (0.2, 1.224), (0.21, 1.226),
    (0.23, 1.272), (0.25, 1.309), (0.46, 1.324), (0.48, 1.257), (0.5, 1.234), (0.51, 1.236),
    (0.52, 1.221), (0.53, 1.221), (0.54, 1.215), (0.55, 1.218), (0.56, 1.219), (0.57, 1.224),
    (0.59, 1.231),
]  # fmt: skip
LOCAL_GRAVITY = 9.808921
STOPWATCH = 0.1
# g over the square of K(1/2): DLMF 19.20.2 for the constant.
PER_SQUARE = 9.80665 / 1.854074677301372**2


def test_measured_periods_of_a_bar_give_its_center_and_gyration() -> None:
    at, periods = np.array(PIVOTS).T
    # The published fit is the expected one: 0.3562 +- 0.0008 m and 0.1840 +- 0.0003 m with
    # gravity fixed, 4.7 ms of residual. Pivots before the middle hang the bar the other way up.
    fit = fit_marks(
        at, periods * DROP_PER_PERIOD, 0.0, 0.0047 * DROP_PER_PERIOD,
        inverted=at < 0.3, gravity=LOCAL_GRAVITY,
    )  # fmt: skip
    assert math.isclose(fit.neutral_m, 0.3562, abs_tol=0.0001)
    assert math.isclose(fit.gyration_m, 0.1840, abs_tol=0.0001)
    sds = np.sqrt(np.diagonal(fit.covariance))
    assert np.allclose(sds, [0.0008, 0.00026], rtol=0.0, atol=1e-4)
    fitted = drop_time(abs(at - fit.neutral_m), fit.gyration_m**2, gravity=LOCAL_GRAVITY)
    residual = fitted / DROP_PER_PERIOD - periods
    assert math.isclose(math.sqrt(np.mean(residual**2)), 0.0047, abs_tol=0.0005)


def test_one_side_of_the_measured_bar_agrees_with_the_other() -> None:
    at, periods = np.array(PIVOTS).T
    before, behind = (
        fit_marks(
            at[side], periods[side] * DROP_PER_PERIOD, 0.0, 0.0047 * DROP_PER_PERIOD,
            inverted=inverted, gravity=LOCAL_GRAVITY,
        )
        for side, inverted in ((at < 0.3, True), (at > 0.3, False))
    )  # fmt: skip
    sd = math.sqrt(before.covariance[0, 0] + behind.covariance[0, 0])
    assert abs(behind.neutral_m - before.neutral_m) < 2.0 * sd
    assert math.isclose(behind.gyration_m, before.gyration_m, abs_tol=0.001)


def test_golden_marks_give_their_rig_back() -> None:
    # Derived by MuJoCo 4.0.0: k = 0.360 m, center of gravity 20 mm below mark 0.
    marks = np.array([0.0, 5.0, 10.0, 20.0, 30.0, 40.0]) / 1000.0
    times = [1.5094667916, 1.351276, 1.234842343, 1.0722691384, 0.96235053317, 0.88215189593]
    fit = fit_marks(marks, times, 0.0005, 0.1)
    assert math.isclose(fit.neutral_m, -0.02, abs_tol=1e-10)
    assert math.isclose(fit.gyration_m, 0.36, abs_tol=1e-9)


def two_marks(mark1: float, drop1: float, mark2: float, drop2: float) -> tuple[float, float]:
    """Neutral mark and k^2 from two marks exactly, by the method of double suspension.

    F. W. Lanchester, Aerial Flight vol. 2 Aerodonetics (1908), appendix VI, there by construction.
    """
    apart, length1, length2 = mark2 - mark1, PER_SQUARE * drop1**2, PER_SQUARE * drop2**2
    below = apart * (length2 - apart) / (length1 - length2 + 2.0 * apart)
    return mark1 - below, below * (length1 - below)


def test_two_suspensions_give_the_center_and_gyration() -> None:
    # F. W. Lanchester, Aerodonetics (1908), appendix VI; the numbers are a derived round trip.
    drops = 1.467668009972, 1.113170256658
    neutral, k2 = two_marks(0.0, drops[0], 0.015, drops[1])
    assert math.isclose(neutral, -0.02, rel_tol=1e-10)
    assert math.isclose(k2, 0.35**2, rel_tol=2e-12)
    periods = np.array([4.973710168726, 3.772369628176]) * DROP_PER_PERIOD
    assert math.isclose(two_marks(0.0, periods[0], 0.015, periods[1])[0], -0.02, rel_tol=1e-9)


@given(st.floats(0.05, 0.6), st.floats(1e-3, 0.05), st.floats(1e-3, 0.05), st.floats(-1.0, 1.0))
def test_two_marks_and_the_fit_give_the_same_rig(
    k: float, d: float, apart: float, neutral: float
) -> None:
    assume(d + apart < 0.8 * k)
    marks = neutral + d, neutral + d + apart
    drops = drop_time([d, d + apart], k * k)
    exact, k2 = two_marks(marks[0], drops[0], marks[1], drops[1])
    assert math.isclose(exact, neutral, abs_tol=1e-9)
    assert math.isclose(k2, k * k, rel_tol=1e-8)
    fit = fit_marks(marks, drops, 0.0005, STOPWATCH)
    assert math.isclose(fit.neutral_m, neutral, abs_tol=1e-9)
    assert math.isclose(fit.gyration_m, k, rel_tol=1e-8)
    assert fit.chi2 < 1e-10


def test_other_releases_and_stop_lines_are_understood() -> None:
    where = {"release_rad": math.radians(30.0), "stop_rad": math.radians(5.0)}
    marks = np.array([0.484, 0.490, 0.500])
    drops = drop_time(marks - 0.48, 0.1, **where)
    fit = fit_marks(marks, drops, 0.0005, STOPWATCH, **where)
    assert np.allclose([fit.neutral_m, fit.gyration_m**2], [0.48, 0.1], rtol=1e-9)
    mark, _ = wanted_mark(fit, drops[1], **where)
    assert math.isclose(mark, 0.490, abs_tol=1e-9)


def test_a_build_hung_the_other_way_up_counts_from_the_other_side() -> None:
    marks = np.array([0.484, 0.492, 0.470])
    drops = drop_time(abs(marks - 0.48), 0.1)
    fit = fit_marks(marks, drops, 0.0005, STOPWATCH, inverted=[False, False, True])
    assert math.isclose(fit.neutral_m, 0.48, abs_tol=1e-10)
    assert math.isclose(fit.gyration_m**2, 0.1, rel_tol=1e-9)


def test_one_mark_is_enough_when_k_is_roughly_known() -> None:
    fit = fit_marks([0.487], [3.0], 0.0005, STOPWATCH, prior_gyration_m=(0.34, 0.085))
    height = pivot_height(3.0, 0.34**2)
    assert math.isclose(fit.neutral_m, 0.487 - height, abs_tol=1e-10)
    assert math.isclose(fit.gyration_m, 0.34, rel_tol=1e-9)
    # 25 % of k is 50 % of the height, and with it comes what reading and timing are good for.
    timing = height * 2.0 * STOPWATCH / 3.0
    expected = math.sqrt((0.5 * height) ** 2 + timing**2 + 0.0005**2)
    assert math.isclose(math.sqrt(fit.covariance[0, 0]), expected, rel_tol=0.02)
    # The mark it was timed at is known as well as it was set and timed, whatever k is.
    mark, sd = wanted_mark(fit, 3.0)
    assert math.isclose(mark, 0.487, abs_tol=1e-10)
    assert math.isclose(sd, math.hypot(timing, 0.0005), rel_tol=0.02)
    with pytest.raises(ValueError, match="needs to be told k"):
        fit_marks([0.487], [3.0], 0.0005, STOPWATCH)


def test_marks_far_apart_tell_the_five_second_mark_and_close_ones_half_as_well() -> None:
    # Common practice, no source: 8 to 10 mm apart to about 1 mm, 3 mm apart half as well.
    def sd(apart: float) -> float:
        marks = np.array([0.485, 0.485 + apart])
        fit = fit_marks(marks, drop_time(marks - 0.48, 0.34**2), 0.0005, STOPWATCH / math.sqrt(3))
        return float(wanted_mark(fit, 5.0).sd_m)

    assert 0.0006 < sd(0.010) < sd(0.008) < 0.0012
    assert 1.5 < sd(0.003) / sd(0.009) < 3.0


def test_marks_too_close_to_tell_say_so() -> None:
    marks = np.array([0.485, 0.4855])
    fit = fit_marks(marks, drop_time(marks - 0.48, 0.34**2), 0.0005, STOPWATCH)
    assert math.sqrt(fit.covariance[1, 1]) > 0.5 * fit.gyration_m
    informed = fit_marks(
        marks, drop_time(marks - 0.48, 0.34**2), 0.0005, STOPWATCH, prior_gyration_m=(0.34, 0.085)
    )
    assert math.sqrt(informed.covariance[1, 1]) < 0.085


def test_a_long_time_counts_no_less_for_being_read_too_short() -> None:
    # Two readings of one height, 7 and 9 s: both have the variance of the time that fits.
    fit = fit_marks([0.485, 0.485], [7.0, 9.0], 0.0005, STOPWATCH, prior_gyration_m=(0.34, 1e-9))
    fitted = drop_time(0.485 - fit.neutral_m, 0.34**2)
    assert math.isclose(fitted**-2, (7.0**-2 + 9.0**-2) / 2.0, rel_tol=1e-9)


def test_a_wild_reading_does_not_stop_the_fit() -> None:
    # On the way neutral comes to lie above the lowest mark, which has a time all the same.
    fit = fit_marks(
        [0.487, 0.488, 0.489], [8.5, 7.5, 0.8], 0.0, STOPWATCH, prior_gyration_m=(0.34, 0.085)
    )
    assert fit.chi2 > 10.0


def test_times_that_rise_with_the_mark_are_refused() -> None:
    with pytest.raises(ValueError, match="fall as the mark rises"):
        fit_marks([0.485, 0.490], [2.0, 3.0], 0.0005, STOPWATCH)


@pytest.mark.parametrize(
    ("marks", "drops", "sd_time"),
    [
        ([0.485, math.nan], [3.0, 2.0], 0.1),
        ([0.485, 0.490], [3.0, 0.0], 0.1),
        ([0.485, 0.490], [math.inf, 2.0], 0.1),
        ([0.485, 0.490], [3.0, 2.0], 0.0),
    ],
)
def test_readings_that_are_none_are_refused(
    marks: list[float], drops: list[float], sd_time: float
) -> None:
    with pytest.raises(ValueError, match="must be"):
        fit_marks(marks, drops, 0.0005, sd_time)


def test_intervals_hold_the_truth_as_often_as_they_say() -> None:
    rng = np.random.default_rng(40)
    n, k, setting = 4000, 0.34, 0.0005
    neutral = 0.48 + rng.uniform(-0.01, 0.01, n)
    marks = neutral[:, None] + rng.uniform(0.004, 0.006, (n, 1)) + [0.0, 0.004, 0.009]
    stood = marks + rng.normal(0.0, setting, marks.shape)
    timing = STOPWATCH / math.sqrt(3.0)
    drops = drop_time(stood - neutral[:, None], k * k) + rng.normal(0.0, timing, marks.shape)
    fit = fit_marks(marks, drops, setting, timing)
    true_mark = neutral + pivot_height(5.0, k * k)
    mark, sd = wanted_mark(fit, 5.0)
    covered = np.mean(abs(mark - true_mark) < 1.96 * sd)
    # Three standard errors of a share of 4,000 are 1 %.
    assert abs(covered - 0.95) < 0.015
    assert abs(np.mean(fit.chi2) - 1.0) < 0.1  # three readings less two parameters


def test_many_fits_at_once_are_the_single_ones() -> None:
    marks = np.array([[0.485, 0.490, 0.495], [0.482, 0.483, 0.489]])
    drops = np.add(drop_time(marks - 0.48, 0.1), [0.03, -0.02, 0.01])
    every = fit_marks(marks, drops, 0.0005, STOPWATCH, prior_gyration_m=(0.3, 0.1))
    one = fit_marks(marks[1], drops[1], 0.0005, STOPWATCH, prior_gyration_m=(0.3, 0.1))
    assert np.allclose(every.neutral_m[1], one.neutral_m, rtol=0.0, atol=1e-10)
    assert np.allclose(every.covariance[1], one.covariance, rtol=1e-6)
    assert wanted_mark(every, 4.0).mark_m.shape == (2,)
