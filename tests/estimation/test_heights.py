"""Heights and drop times of a rig in trim, against the pendulum's own functions."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipk, ellipkinc  # type: ignore[import-untyped]  # scipy ships no types

from riglog.estimation.heights import FRICTION_SHIFT, drop, height, height_slopes, shortest_s
from riglog.mechanics.friction import drop_gradient
from riglog.mechanics.pendulum import drop_time

RELEASES = st.floats(0.3, 2.5)
K2 = st.floats(0.02, 0.2)


def factor(release: float, stop: float) -> float:
    """K(m) - F(phi | m) from scipy's integrals."""
    m = math.sin(release / 2) ** 2
    phi = math.asin(math.sin(stop / 2) / math.sin(release / 2))
    return float(ellipk(m) - ellipkinc(phi, m))


@given(d=st.floats(0.0005, 0.04), k2=K2, release=RELEASES, share=st.floats(-0.5, 0.8))
def test_the_height_of_a_drop_is_where_the_pendulum_drops_so(
    d: float, k2: float, release: float, share: float
) -> None:
    stop = share * release
    time = float(drop_time(d, k2, release_rad=release, stop_rad=stop))
    of_angles = factor(release, stop)
    assert float(height(time, of_angles, k2)) == pytest.approx(d, rel=1e-9)
    assert float(drop(d, of_angles, k2)) == pytest.approx(time, rel=1e-12)


@given(time=st.floats(1.2, 12.0), k2=K2)
def test_slopes_of_a_height_are_those_of_finite_differences(time: float, k2: float) -> None:
    f = factor(math.pi / 2, 0.0)
    if time < 1.05 * float(shortest_s(f, k2)):
        time += float(shortest_s(f, k2))
    per_s, per_k2 = height_slopes(time, f, k2)
    by_time = (height(time * (1 + 1e-6), f, k2) - height(time * (1 - 1e-6), f, k2)) / (2e-6 * time)
    by_k2 = (height(time, f, k2 * (1 + 1e-6)) - height(time, f, k2 * (1 - 1e-6))) / (2e-6 * k2)
    assert float(per_s) == pytest.approx(float(by_time), rel=1e-5)
    assert float(per_k2) == pytest.approx(float(by_k2), rel=1e-5)


@given(k2=K2, release=RELEASES)
def test_no_height_drops_faster_than_the_shortest(k2: float, release: float) -> None:
    k = math.sqrt(k2)
    least = float(shortest_s(factor(release, 0.0), k2))
    assert float(drop_time(k, k2, release_rad=release)) == pytest.approx(least, rel=1e-12)
    for share in (0.9, 1.1):
        assert float(drop_time(share * k, k2, release_rad=release)) > least


def test_a_time_that_no_height_has_gives_about_the_radius_of_gyration() -> None:
    k2 = 0.34**2
    f = factor(math.pi / 2, 0.0)
    d = float(height(0.99 * float(shortest_s(f, k2)), f, k2))
    per_s, per_k2 = height_slopes(0.99 * float(shortest_s(f, k2)), f, k2)
    assert d == pytest.approx(0.34, rel=0.25)
    assert np.isfinite([per_s, per_k2]).all()


def test_friction_shifts_neutral_as_the_quadrature_has_it() -> None:
    # Near neutral only the height matters, not what the inertia gains from it.
    slopes = drop_gradient(1e-4, 0.34**2)
    assert float(slopes.per_friction / -slopes.per_d) == pytest.approx(FRICTION_SHIFT, rel=1e-6)
