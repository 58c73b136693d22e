"""Many estimates at once say what each says by itself."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import norm

from riglog.estimation.interval import estimate
from riglog.estimation.many import estimates


@pytest.mark.parametrize("components", [1, 3, 24, 25, 400])
def test_bounds_are_those_of_the_whole_mixture(components: int) -> None:
    rng = np.random.default_rng(components)
    weight = rng.dirichlet(np.ones(components))
    mean, sd = rng.normal(size=(components, 5)), rng.uniform(0.8, 1.2, (components, 5))
    found = estimates(weight, mean, sd)
    assert np.allclose(found.value, weight @ mean)
    for bound, share in zip(found.interval(), (0.025, 0.975), strict=True):
        for number in range(5):

            def excess(at: float, number: int = number, share: float = share) -> float:
                return float(weight @ norm.cdf(at, mean[:, number], sd[:, number])) - share

            # Beyond 24 components those near each other count as one.
            assert bound[number] == pytest.approx(brentq(excess, -20, 20), abs=0.02)


def test_they_are_binned_as_one_estimate_is() -> None:
    rng = np.random.default_rng(1)
    weight = rng.dirichlet(np.ones(300))
    mean, sd = rng.normal(size=(300, 3)), rng.uniform(0.1, 0.3, (300, 3))
    found = estimates(weight, mean, sd)
    low, high = found.interval()
    for number in range(3):
        alone = estimate(weight, mean[:, number], sd[:, number])
        assert (low[number], high[number]) == pytest.approx(alone.interval(), abs=1e-3)


def test_an_error_of_setting_widens_each_by_its_own() -> None:
    found = estimates(np.ones(1), np.zeros((1, 2)), np.full((1, 2), 3.0))
    steps = np.array([[4.0], [0.0]])
    assert found.quantile(0.975, steps) == pytest.approx([1.96 * 5, 1.96 * 3], abs=2e-3)
