"""How a person's timings scatter, against figures worked by hand."""

from __future__ import annotations

import pytest
from estimation.scenes import drop, hung, logged

from riglog.estimation.noise import mean_sd, method_sd, pooled_sd

# JCGM 100:2008, 4.4.3, table 1: 20 temperatures, from memory; s = 1.489 as printed there.
TABLE_1 = (
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
    100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
)  # fmt: skip
PRINTED_S = 1.489


def test_repeats_pool_with_a_prior_worth_ten_of_them() -> None:
    found = pooled_sd([logged(drop(*TABLE_1), hung())])
    # (10 * 0.1^2 + 19 s^2) / (10 + 19)
    pooled = ((10 * 0.1**2 + 19 * PRINTED_S**2) / 29) ** 0.5
    assert found == {("kim", "stopwatch"): pytest.approx(pooled, abs=0.0005)}


def test_sets_of_one_person_pool_about_their_own_means() -> None:
    # Squares about the means 3.0 and 5.0: 0.02 with two, 0.08 with one degree of freedom.
    sets = [drop(2.9, 3.0, 3.1), drop(4.8, 5.2)]
    found = pooled_sd([logged(each, hung()) for each in sets])
    assert found["kim", "stopwatch"] ** 2 == pytest.approx((0.1 + 0.02 + 0.08) / 13)


def test_a_single_timing_tells_nothing_of_scatter() -> None:
    found = pooled_sd([logged(drop(3.0), hung()), logged(drop(9.0), hung())])
    assert found["kim", "stopwatch"] == pytest.approx(0.1)


def test_people_and_methods_are_kept_apart() -> None:
    found = pooled_sd(
        [
            logged(drop(2.0, 4.0), hung(), author="kim"),
            logged(drop(3.0, 3.0), hung(), author="lou"),
            logged(drop(3.0, 3.0, method="counted"), hung(), author="kim"),
        ]
    )
    assert found["kim", "stopwatch"] ** 2 == pytest.approx((0.1 + 2.0) / 11)
    assert found["lou", "stopwatch"] ** 2 == pytest.approx(0.1 / 11)
    # Who counts evenly may count too slowly all the same.
    assert found["kim", "counted"] == pytest.approx(0.3)


@pytest.mark.parametrize(("method", "sd"), [("counted", 0.3), ("stopwatch", 0.1), ("sensor", 0.02)])
def test_a_method_has_its_own_scatter_before_anyone_was_seen(method: str, sd: float) -> None:
    assert method_sd(drop(3.0, method=method)) == sd


def test_a_clip_is_off_by_two_rectangles_of_a_frame() -> None:
    # Each end is off by a rectangle one frame wide, of variance 1/12: together 1/6.
    assert method_sd(drop(3.0, method="clip", fps=50.0)) ** 2 == pytest.approx(0.02**2 / 6)
    assert method_sd(drop(3.0, method="clip")) ** 2 == pytest.approx(0.04**2 / 6)


def test_clips_at_several_frame_rates_pool_the_same_in_any_order() -> None:
    clips = [logged(drop(3.0, method="clip", fps=fps), hung()) for fps in (24.0, 120.0)]
    expected = ((1 / 24**2 + 1 / 120**2) / 2 / 6) ** 0.5
    for order in (clips, clips[::-1]):
        assert pooled_sd(order) == {("kim", "clip"): pytest.approx(expected)}


def test_the_mean_of_what_was_counted_aloud_is_no_better_than_one_of_them() -> None:
    counted, watched = (drop(3.0, 3.1, 3.2, 2.9, method=each) for each in ("counted", "stopwatch"))
    assert mean_sd(counted, 0.3) == 0.3
    assert mean_sd(watched, 0.1) == pytest.approx(0.05)


def test_who_counts_unevenly_is_believed_less() -> None:
    uneven = logged(drop(2.0, 4.0, 3.0, 5.0, method="counted"), hung(), author="kim")
    assert pooled_sd([uneven])["kim", "counted"] > 0.4
