"""Least squares within bounds, held against scipy's."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import lsq_linear

from riglog.mechanics.bounded import bounded_least_squares


@settings(deadline=None)
@given(st.integers(0, 2**32), st.integers(1, 7), st.integers(0, 4))
def test_it_is_the_least_that_scipy_finds(seed: int, unknowns: int, more: int) -> None:
    rng = np.random.default_rng(seed)
    design = rng.normal(size=(unknowns + more, unknowns)) * rng.choice([1.0, 100.0], unknowns)
    target = rng.normal(size=unknowns + more) * 10.0 ** rng.integers(-3, 3)
    low = np.where(rng.random(unknowns) < 0.2, -np.inf, -rng.exponential(0.3, unknowns))
    high = np.where(rng.random(unknowns) < 0.2, np.inf, rng.exponential(0.3, unknowns) - 0.05)
    high = np.maximum(low, high)
    found = bounded_least_squares(design, target, low, high)
    assert np.all((found >= low) & (found <= high))
    ours = np.sum((design @ found - target) ** 2)
    kept = low < high  # scipy takes no bounds that meet
    rest = target - design[:, ~kept] @ low[~kept]
    known = lsq_linear(design[:, kept], rest, (low[kept], high[kept]), method="bvls", tol=1e-14)
    assert ours <= 2 * known.cost * (1 + 1e-9) + 1e-18 * np.sum(target**2)


def test_without_bounds_it_is_plain_least_squares() -> None:
    rng = np.random.default_rng(3)
    design, target = rng.normal(size=(6, 3)), rng.normal(size=6)
    endless = np.full(3, np.inf)
    expected = np.linalg.solve(design.T @ design, design.T @ target)
    assert np.allclose(bounded_least_squares(design, target, -endless, endless), expected)


def test_bounds_that_cross_are_refused() -> None:
    with pytest.raises(ValueError, match="bounds cross"):
        bounded_least_squares(np.eye(2), [1.0, 1.0], [0.0, 1.0], [1.0, 0.5])


def test_nothing_to_solve_is_solved() -> None:
    assert bounded_least_squares(np.zeros((2, 0)), [1.0, 1.0], [], []).shape == (0,)
