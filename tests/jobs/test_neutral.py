"""`neutral`: marks and drop times of one build, and nothing else."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from riglog.errors import CallError, NoAnswerError, QuantityError, UnreachableError
from riglog.jobs import neutral as job
from riglog.jobs.neutral import neutral
from riglog.mechanics.pendulum import drop_time

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Value


def marked(neutral_m: float, k_m: float, heights_m: Sequence[float]) -> list[str]:
    """Marks of a rig in trim, with the times that it has there, to a microsecond."""
    times = drop_time(np.array(heights_m), k_m**2)
    return [
        f"{1e3 * (neutral_m + height):.4f}mm={time:.6f}"
        for height, time in zip(heights_m, times, strict=True)
    ]


@pytest.fixture
def well_timed(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if marks and times were told to a hundredth of a millimeter and a tenth of one percent."""
    monkeypatch.setattr(job, "MARK_SD_M", 1e-5)
    monkeypatch.setattr(job, "TIME_SD_S", 1e-3)


def inside(value: float, known: Value) -> bool:
    assert known.low is not None
    assert known.high is not None
    return known.low < value < known.high


@pytest.mark.usefixtures("well_timed")
@pytest.mark.parametrize("k_m", [0.184, 0.26, 0.34, 0.42])
def test_marks_of_an_exact_pendulum_tell_neutral_and_gyration(k_m: float) -> None:
    answer = neutral(marked(0.4825, k_m, [0.0045, 0.0125]), "5s")
    assert answer.neutral_m.value == pytest.approx(0.4825, abs=2e-5)
    assert answer.gyration_m.value == pytest.approx(k_m, rel=2e-3)
    assert answer.mark_m is not None
    # Inverse by bisection of the pendulum itself.
    low, high = 1e-5, 0.05
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if float(drop_time(middle, k_m**2)) > 5 else (low, middle)
    assert answer.mark_m.value == pytest.approx(0.4825 + low, abs=2e-5)


@pytest.mark.parametrize("k_m", [0.184, 0.2, 0.34, 0.42])
def test_the_prior_is_so_wide_that_small_and_large_rigs_are_told_apart(k_m: float) -> None:
    # At a stopwatch's scatter the prior pulls by a fifth of the interval's half at most.
    answer = neutral(marked(0.4825, k_m, [0.003, 0.012]), "5s")
    known = answer.gyration_m
    assert known.value is not None
    assert known.high is not None
    assert abs(known.value - k_m) < 0.2 * (known.high - known.value)
    assert inside(0.4825, answer.neutral_m)


@pytest.mark.parametrize("k_m", [0.184, 0.34])
def test_intervals_hold_the_truth_as_often_as_they_say(k_m: float) -> None:
    rng = np.random.default_rng(20)
    neutral_m, asked, count = 0.4825, 0, 200
    held = np.zeros(3)
    for _ in range(count):
        heights = np.array([0.0035, 0.0125])
        true = heights + 0.001 * rng.standard_normal(2)
        times = drop_time(true, k_m**2) + 0.1 * rng.standard_normal(2)
        marks = [
            f"{1e3 * (neutral_m + h):.3f}mm={t:.4f}" for h, t in zip(heights, times, strict=True)
        ]
        answer = neutral(marks, "5s")
        assert answer.mark_m is not None
        wanted = neutral_m + _height(5.0, k_m)
        truths = (neutral_m, k_m, wanted)
        known = (answer.neutral_m, answer.gyration_m, answer.mark_m)
        held += [inside(truth, value) for truth, value in zip(truths, known, strict=True)]
        asked += 1
    # Two standard errors of a binomial share below 95 %; times near neutral make them wider.
    assert np.all(held / asked >= 0.92)


def _height(time_s: float, k_m: float) -> float:
    length = 9.80665 * (time_s / 1.8540746773) ** 2
    return float((length - np.sqrt(length**2 - 4 * k_m**2)) / 2)


def test_one_mark_answers_by_a_usual_post_rig_and_says_how_little_it_knows() -> None:
    answer = neutral(["487mm=3.0"], "5s")
    assert answer.gyration_m.value == pytest.approx(0.34, abs=0.005)
    assert answer.neutral_m.value == pytest.approx(0.487 - _height(3.0, 0.34), abs=1e-4)
    known = answer.gyration_m
    assert known.low is not None
    assert known.high is not None
    assert known.high - known.low == pytest.approx(2 * 1.96 * 0.25 * 0.34, rel=0.05)


def test_marks_8_to_10_mm_apart_give_the_5_s_mark_to_about_a_millimeter() -> None:
    answer = neutral(marked(0.4825, 0.34, [0.0045, 0.0135]), "5s")
    assert answer.mark_m is not None
    assert answer.mark_m.value is not None
    assert answer.mark_m.high is not None
    assert (answer.mark_m.high - answer.mark_m.value) / 1.96 == pytest.approx(0.00125, abs=0.0004)
    assert answer.warnings == ()


def test_marks_3_mm_apart_are_said_to_be_too_close() -> None:
    answer = neutral(marked(0.4825, 0.34, [0.0045, 0.0075]), "5s")
    assert [each.code for each in answer.warnings] == ["marks_too_close"]


def test_two_times_at_one_mark_are_one_mark() -> None:
    together = neutral(["487mm=3.0,3.2", "495mm=1.8"])
    apart = neutral(["487mm=3.0", "495mm=1.8", "487mm=3.2"])
    assert together.marks_m == apart.marks_m == (0.487, 0.495)
    assert together.times_s == (pytest.approx(3.1), 1.8)
    assert apart.neutral_m == pytest.approx(together.neutral_m)


def test_the_first_mark_is_surely_bottom_heavy_and_a_whole_millimeter() -> None:
    answer = neutral(["487mm=3.0", "495mm=1.8"], "5s")
    assert answer.first_m is not None
    assert answer.neutral_m.high is not None
    assert answer.first_m > answer.neutral_m.high
    assert 1e3 * answer.first_m == pytest.approx(round(1e3 * answer.first_m))
    assert answer.first_drop_s is not None
    assert answer.first_drop_s.high is not None


def test_marks_in_inches_are_shown_in_inches() -> None:
    answer = neutral(["19 1/8 in=3.0", "19 1/2 in=1.8"])
    assert answer.unit == "in"
    assert answer.marks_m == pytest.approx((19.125 * 0.0254, 19.5 * 0.0254))


def test_a_bare_mark_is_in_millimeters() -> None:
    assert neutral(["487=3.0"]).marks_m == (0.487,)


# M. Kladivova and L. Mucha, "Physical pendulum - a simple experiment can give comprehensive
# information about a rigid body", Eur. J. Phys. 35 (2014) 025018: period [s] of small swings of a
# bar against where its pivot was [m], on the side of the center of gravity where the pivot is
# nearer the bar's zero. Center and gyration are derived: a fit of all 25 points, 0.3562 m with a
# standard deviation of 0.0008 m, and 0.1840 m with 0.0003 m.
PIVOTS_M = (0.01, 0.08, 0.10, 0.12, 0.14, 0.15, 0.16, 0.17, 0.18, 0.19, 0.20, 0.21, 0.23, 0.25)
PERIODS_S = (
    1.338, 1.265, 1.248, 1.235, 1.223, 1.218, 1.220, 1.214, 1.216, 1.215, 1.224, 1.226, 1.272,
    1.309,
)  # fmt: skip
# Drop from horizontal over the period of a small swing: K(1/2) / (2 pi).
OF_A_PERIOD = 0.2950851497540241
# The bar hung at g = 9.808921 m/s^2.
OF_STANDARD = (9.808921 / 9.80665) ** 0.5


def bar_marks() -> list[str]:
    """The bar's marks counted upwards, and its periods as drops."""
    return [
        f"{-1e3 * pivot:.1f}mm={OF_A_PERIOD * OF_STANDARD * period:.6f}"
        for pivot, period in zip(PIVOTS_M, PERIODS_S, strict=True)
    ]


def test_a_measured_bar_balances_where_its_published_swings_say(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(job, "MARK_SD_M", 1e-4)
    monkeypatch.setattr(job, "TIME_SD_S", OF_A_PERIOD * 0.0047)  # the fit's own residual
    answer = neutral(bar_marks())
    assert answer.neutral_m.value is not None
    assert answer.gyration_m.value is not None
    # Half the points tell it two thirds as well.
    assert -answer.neutral_m.value == pytest.approx(0.3562, abs=2 * 1.7 * 0.0008)
    assert answer.gyration_m.value == pytest.approx(0.1840, abs=2 * 1.7 * 0.0003)
    assert inside(-0.3562, answer.neutral_m)
    assert inside(0.1840, answer.gyration_m)


def test_by_stopwatch_the_bar_stays_inside_its_interval() -> None:
    answer = neutral(bar_marks())
    assert inside(-0.3562, answer.neutral_m)
    assert inside(0.1840, answer.gyration_m)
    assert answer.gyration_m.value == pytest.approx(0.184, abs=0.01)


@pytest.mark.parametrize(
    ("marks", "want", "says"),
    [
        ([], None, "no mark was given"),
        (["487mm"], None, "is no mark with a time"),
        (["487mm=0"], None, "is no drop time"),
        (["487mm=3.0,-1"], None, "is no drop time"),
        (["487mm=300"], None, "is no drop time"),
        (["487mm=3,1"], None, "could be one time or two"),
        (["487mm=3.0"], "-5s", "is no drop time"),
    ],
)
def test_wrong_words_are_refused(marks: list[str], want: str | None, says: str) -> None:
    with pytest.raises(CallError, match=says) as refused:
        neutral(marks, want)
    assert refused.value.status == 2
    assert refused.value.hint


@pytest.mark.parametrize("mark", ["487kg=3.0", "487mm=abc", "=3.0", "487mm=nan", "1e10mm=3.0"])
def test_what_is_no_quantity_is_refused(mark: str) -> None:
    with pytest.raises(QuantityError):
        neutral([mark])


def test_times_that_rise_with_the_mark_are_of_no_rig() -> None:
    with pytest.raises(NoAnswerError, match="no rig has these drop times") as refused:
        neutral(["487mm=1.5", "507mm=4.0", "527mm=8.0"])
    assert refused.value.status == 3


def test_a_drop_that_no_mark_gives_is_out_of_reach() -> None:
    with pytest.raises(UnreachableError, match=r"no mark drops in 0.3 s"):
        neutral(["487mm=3.0", "495mm=1.8"], "0.3s")


@pytest.mark.parametrize("heights", [[0.0045, 0.0048], [0.002, 0.0025, 0.003], [0.012, 0.0125]])
def test_marks_that_are_next_to_each_other_still_answer(heights: list[float]) -> None:
    answer = neutral(marked(0.4825, 0.34, heights), "5s")
    assert [each.code for each in answer.warnings] == ["marks_too_close"]
    assert inside(0.4825, answer.neutral_m)
