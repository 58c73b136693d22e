"""Masses from scales, centers from supports, inertia from swings."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.mechanics.weighing import (
    center_on_supports,
    inertia_by_swinging,
    shown_mass,
)

# J. K. Moore, Human Control of a Bicycle (PhD thesis, UC Davis 2012); data and results of
# BicycleParameters (figshare 10.6084/m9.figshare.1198429): six wheels hung from their rims, mass
# [kg], distance [m], period [s], and the published central inertia [kg m^2] at g = 9.81 m/s^2.
WHEELS = (
    (2.02, 0.293, 1.4811273727, 0.149221207336),
    (3.11, 0.29325, 1.36108970039, 0.152391250767),
    (1.58, 0.297, 1.45115377659, 0.106185287785),
    (1.38, 0.2975, 1.39504641486, 0.0764034890242),
    (1.9, 0.3045, 1.49847435147, 0.146642875064),
    (2.57, 0.302, 1.40930922435, 0.148661417202),
)
EXACT = (1e-12, 1e-12, 1e-12)


@pytest.mark.parametrize(("mass", "hung", "period", "published"), WHEELS)
def test_a_wheel_hung_from_its_rim_has_the_published_inertia(
    mass: float, hung: float, period: float, published: float
) -> None:
    found = inertia_by_swinging(mass, hung, period, gravity_m_s2=9.81, sds=EXACT)
    assert found.moment_kg_m2 == pytest.approx(published, rel=1e-9)


@pytest.mark.parametrize(("which", "sd"), [(0, 0.02), (1, 0.001), (2, 0.002)])
def test_what_is_not_known_of_a_swing_is_not_known_of_the_inertia(which: int, sd: float) -> None:
    values = np.array([2.02, 0.293, 1.4811273727])

    def moment(*at: float) -> float:
        return inertia_by_swinging(*at, gravity_m_s2=9.81, sds=EXACT).moment_kg_m2

    step = np.zeros(3)
    step[which] = 1e-6
    slope = (moment(*(values + step)) - moment(*(values - step))) / 2e-6
    sds = [1e-12] * 3
    sds[which] = sd
    found = inertia_by_swinging(*values, gravity_m_s2=9.81, sds=(sds[0], sds[1], sds[2]))
    assert found.sd_kg_m2 == pytest.approx(abs(slope) * sd, rel=1e-5)


def test_nothing_swings_faster_than_a_point_at_that_distance() -> None:
    with pytest.raises(ValueError, match="faster than a point"):
        inertia_by_swinging(2.0, 0.3, 1.0, gravity_m_s2=9.81, sds=EXACT)


def test_a_weighing_on_two_supports_is_that_of_the_handbook() -> None:
    # FAA-H-8083-1, Aircraft Weight and Balance Handbook: nosewheel 340 lb of 2,006 lb, 78 in ahead
    # of the main wheels: the center of gravity lies 13.2 in ahead of them.
    found = center_on_supports(340, 2006 - 340, 78, sd_kg=1e-9, sd_m=1e-9)
    assert found.at_m == pytest.approx(13.2, abs=0.05)


@given(
    front=st.floats(0.01, 5),
    rear=st.floats(0.01, 5),
    apart=st.floats(0.05, 1),
    by=st.floats(0.5, 2),
)
def test_what_balances_on_supports_does_not_depend_on_the_unit_of_mass(
    front: float, rear: float, apart: float, by: float
) -> None:
    one = center_on_supports(front, rear, apart, sd_kg=0.002, sd_m=0.001)
    other = center_on_supports(front * by, rear * by, apart, sd_kg=0.002 * by, sd_m=0.001)
    assert other == pytest.approx(one)
    assert 0 <= one.at_m <= apart


def test_the_spread_of_a_center_on_supports_is_that_of_many_trials() -> None:
    draw = np.random.default_rng(3)
    front = 1.22 + 0.003 * draw.standard_normal(200_000)
    rear = 0.87 + 0.003 * draw.standard_normal(200_000)
    low, high = 0.001 * draw.standard_normal((2, 200_000))
    at = low + front / (front + rear) * (0.3 + high - low)
    found = center_on_supports(1.22, 0.87, 0.3, sd_kg=0.003, sd_m=0.001)
    assert found.sd_m == pytest.approx(float(np.std(at)), rel=0.01)


def test_a_weight_that_is_nothing_has_no_center() -> None:
    with pytest.raises(ValueError, match="must carry"):
        center_on_supports(0.0, 0.0, 0.3, sd_kg=0.001, sd_m=0.001)


def test_a_scale_knows_no_mass_better_than_a_step_of_its_display() -> None:
    # JCGM 100:2008, F.2.2.1: a step has the standard deviation of step / sqrt 12.
    found = shown_mass([1.118], 0.0, resolution_kg=0.001, linearity_kg=0.0, check_error=0.0)
    assert found == pytest.approx((1.118, 0.001 / 12**0.5, 0.0))


def test_repeats_help_against_scatter_and_not_against_the_scale() -> None:
    shown = [1.118, 1.121, 1.116, 1.119]
    one = shown_mass(shown[:1], 0.0, resolution_kg=0.001, linearity_kg=0.002, check_error=0.0)
    four = shown_mass(shown, 0.0, resolution_kg=0.001, linearity_kg=0.002, check_error=0.0)
    assert four.random_sd_kg == pytest.approx(float(np.std(shown, ddof=1)) / 2)
    assert four.common_sd_kg == one.common_sd_kg == pytest.approx(0.002 / 3**0.5)


def test_a_difference_of_two_loads_carries_the_doubts_of_both() -> None:
    found = shown_mass([17.64], 16.52, resolution_kg=0.01, linearity_kg=0.02, check_error=0.0)
    assert found.mass_kg == pytest.approx(1.12)
    assert found.random_sd_kg == pytest.approx(0.01 / 12**0.5 * 2**0.5)
    assert found.common_sd_kg == pytest.approx(0.02 / 3**0.5 * 2**0.5)


def test_what_weighs_no_more_than_its_case_is_refused() -> None:
    with pytest.raises(ValueError, match="more than what is taken off"):
        shown_mass([0.2], 0.21, resolution_kg=0.001, linearity_kg=0.0, check_error=0.0)
