"""Quantities and their intervals, against scipy's normal distribution and against draws."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq  # type: ignore[import-untyped]  # scipy ships no types
from scipy.stats import norm  # type: ignore[import-untyped]

from riglog.estimation.interval import Estimate, Plane, estimate

if TYPE_CHECKING:
    import numpy.typing as npt

SEEDS = st.integers(0, 2**32 - 1)


def mixed(seed: int, count: int) -> Estimate:
    """A mixture like those of a mark [m]: one tall component and wings."""
    rng = np.random.default_rng(seed)
    weight = rng.dirichlet(np.full(count, 0.3)) + 1e-12
    return Estimate(
        weight / weight.sum(), rng.normal(0.5, 0.003, count), rng.uniform(4e-4, 2e-3, count)
    )


def quantile(of: Estimate, probability: float) -> float:
    """By scipy alone."""

    def short(value: float) -> float:
        return float(of.weight @ norm.cdf(value, of.mean, of.sd)) - probability

    return float(brentq(short, 0.3, 0.7, xtol=1e-14))


@given(seed=SEEDS, count=st.integers(1, 9), probability=st.floats(0.001, 0.999))
def test_a_quantile_is_where_the_mixture_has_that_much_below(
    seed: int, count: int, probability: float
) -> None:
    found = mixed(seed, count)
    assert found.quantile(probability) == pytest.approx(quantile(found, probability), abs=1e-10)


@given(seed=SEEDS)
def test_an_interval_leaves_a_fortieth_on_either_side(seed: int) -> None:
    found = mixed(seed, 5)
    low, high = found.interval()
    assert low == pytest.approx(quantile(found, 0.025), abs=1e-10)
    assert high == pytest.approx(quantile(found, 0.975), abs=1e-10)
    assert found.below(low) == pytest.approx(0.025, abs=1e-6)


@given(seed=SEEDS, count=st.integers(25, 1500))
def test_a_merged_mixture_has_the_same_mean_and_spread(seed: int, count: int) -> None:
    whole = mixed(seed, count)
    merged = estimate(whole.weight, whole.mean, whole.sd)
    assert len(merged.weight) <= 24
    assert merged.weight.sum() == pytest.approx(1.0)
    assert merged.value == pytest.approx(float(whole.weight @ whole.mean), abs=1e-14)
    variance = whole.weight @ (whole.sd**2 + (whole.mean - whole.value) ** 2)
    assert merged.standard_deviation == pytest.approx(variance**0.5, rel=1e-8)


@pytest.mark.parametrize("seed", range(20))
def test_the_interval_of_a_merged_mixture_holds_95_percent_of_the_whole(seed: int) -> None:
    whole = mixed(seed, 400)
    low, high = estimate(whole.weight, whole.mean, whole.sd).interval()
    assert whole.weight @ norm.cdf(low, whole.mean, whole.sd) == pytest.approx(0.025, abs=0.006)
    assert whole.weight @ norm.sf(high, whole.mean, whole.sd) == pytest.approx(0.025, abs=0.006)


def test_a_small_mixture_is_not_merged() -> None:
    whole = mixed(1, 24)
    assert estimate(*whole) == whole


def test_a_quantity_can_be_moved_and_widened() -> None:
    found = Estimate(np.ones(1), np.array([0.5]), np.array([0.003])).moved(0.01).widened(0.004)
    assert found.interval() == pytest.approx(norm.interval(0.95, 0.51, 0.005), abs=1e-9)


def test_what_is_known_exactly_has_no_width() -> None:
    found = Estimate(np.ones(1), np.array([0.5]), np.zeros(1))
    assert found.interval() == pytest.approx((0.5, 0.5), abs=1e-10)


def plane() -> Plane:
    """Forward and below [m], near neutral, one component tilted against the other."""
    covariance = np.array([[[4e-8, 1e-8], [1e-8, 2.5e-7]], [[1e-7, -6e-8], [-6e-8, 1e-6]]])
    return Plane(np.array([0.8, 0.2]), np.array([[0.0004, 0.0045], [-0.0002, 0.0060]]), covariance)


def drawn(known: Plane, count: int = 400_000) -> npt.NDArray[np.float64]:
    rng = np.random.default_rng(8)
    which = rng.choice(len(known.weight), size=count, p=known.weight)
    roots = np.linalg.cholesky(known.covariance)
    points = rng.standard_normal((count, 2))
    return np.asarray(known.mean[which] + np.einsum("dij,dj->di", roots[which], points))


def test_the_interval_of_a_lean_holds_as_much_as_draws_say() -> None:
    known = plane()
    points = drawn(known)
    lean = np.arctan2(points[:, 0], points[:, 1])
    low, high = known.angle_interval()
    assert np.mean(lean < low) == pytest.approx(0.025, abs=0.002)
    assert np.mean(lean > high) == pytest.approx(0.025, abs=0.002)


def test_a_lean_that_is_nearly_known_has_the_interval_of_its_tangent() -> None:
    sd = 1e-6
    known = Plane(np.ones(1), np.array([[0.0, 0.005]]), np.diag([sd**2, 0.0])[None])
    assert known.angle_interval() == pytest.approx(norm.interval(0.95, 0.0, sd / 0.005), rel=0.01)
    assert known.value == pytest.approx([0.0, 0.005])


@pytest.mark.parametrize("below_m", [0.0045, 0.0015, 0.0008])
def test_the_interval_of_a_quotient_holds_as_much_as_draws_say(below_m: float) -> None:
    known = plane()._replace(mean=np.array([[0.0004, below_m], [-0.0002, 0.0060]]))
    first, second = drawn(known).T
    size = np.maximum(first, 0.0) / np.abs(second)
    found = known.quotient()
    assert np.mean(size < found.low) <= 0.025
    assert np.mean(np.where(second > 0, size, np.inf) < found.value) == pytest.approx(0.5, abs=0.01)
    over = np.mean((second <= 0) | (size > found.high))
    assert over == pytest.approx(0.025, abs=0.003) or (found.high == np.inf and over > 0.025)


def test_a_quotient_that_is_nearly_known_is_that_of_the_best_values() -> None:
    known = Plane(np.ones(1), np.array([[0.0002, 0.005]]), np.diag([1e-12, 0.0])[None])
    ends = norm.interval(0.95, 0.04, 1e-6 / 0.005)
    assert known.quotient() == pytest.approx((ends[0], 0.04, ends[1]), rel=1e-4)


@given(
    first=st.floats(-0.001, 0.001),
    second=st.floats(-0.01, 0.01),
    sds=st.tuples(st.floats(0, 0.001), st.floats(0, 0.02)),
    slant=st.floats(-1, 1),
    seed=SEEDS,
)
def test_a_quotient_lies_within_its_bounds_wherever_neutral_is(
    first: float, second: float, sds: tuple[float, float], slant: float, seed: int
) -> None:
    rng = np.random.default_rng(seed)
    across = slant * sds[0] * sds[1]
    covariance = np.array([[sds[0] ** 2, across], [across, sds[1] ** 2]])
    means = np.array([[first, second], rng.normal(0.0, 0.003, 2)])
    for share in (1.0, 0.7):
        known = Plane(np.array([share, 1 - share]), means, np.stack([covariance, covariance]))
        low, value, high = known.quotient()
        assert 0.0 <= low <= value <= high
