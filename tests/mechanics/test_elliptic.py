from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy import special

from riglog.mechanics.arrays import floats
from riglog.mechanics.elliptic import K_HALF, agm, carlson_rf

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy.typing as npt

    from riglog.mechanics.arrays import FloatArray

    Complete = Callable[[npt.ArrayLike], FloatArray]

# Abramowitz & Stegun, Handbook of Mathematical Functions (NBS AMS 55), table 17.1.
TABLE_17_1 = {
    0.0: 1.570796326794897,
    0.05: 1.591003453790792,
    0.1: 1.612441348720219,
    0.15: 1.63525673226458,
    0.2: 1.659623598610528,
    0.25: 1.685750354812596,
    0.3: 1.713889448178791,
    0.35: 1.744350597225613,
    0.4: 1.777519371491253,
    0.45: 1.813883936816983,
    0.5: 1.854074677301372,
}
# Self-tests of the ellipke function of GNU Octave, there credited to Mathematica 3.0.
NEAR_SEPARATRIX = {
    0.01: 1.574745561517356,
    0.1: 1.6124413487202194,
    0.5: 1.8540746773013719,
    0.9: 2.5780921133481733,
    0.99: 3.6956373629898747,
}


def by_duplication(m: npt.ArrayLike) -> FloatArray:
    """K(m) = R_F(0, 1 - m, 1), DLMF 19.25.1."""
    m = floats(m)
    return carlson_rf(0.0 * m, 1.0 - m, 1.0 + 0.0 * m)


def by_mean(m: npt.ArrayLike) -> FloatArray:
    """K(m) = pi / (2 agm(1, sqrt(1 - m))), DLMF 19.8.5."""
    return np.pi / (2.0 * agm(floats(1.0), np.sqrt(1.0 - floats(m))))


both_ways = pytest.mark.parametrize("complete", [by_duplication, by_mean])


@both_ways
def test_complete_integral_is_that_of_the_handbook(complete: Complete) -> None:
    expected = np.array(list(TABLE_17_1.values()))
    assert np.allclose(complete(list(TABLE_17_1)), expected, rtol=0.0, atol=6e-15)


@both_ways
def test_complete_integral_is_exact_close_to_the_separatrix(complete: Complete) -> None:
    expected = np.array(list(NEAR_SEPARATRIX.values()))
    assert np.allclose(complete(list(NEAR_SEPARATRIX)), expected, rtol=2e-15, atol=0.0)


@both_ways
def test_complete_integral_at_one_half_is_a_gamma_function(complete: Complete) -> None:
    # OEIS A093341, citing Abramowitz & Stegun 18.14.7.
    assert math.isclose(complete(0.5), 1.8540746773013719, rel_tol=2e-15)
    closed = math.gamma(0.25) ** 2 / (4.0 * math.sqrt(math.pi))
    assert math.isclose(K_HALF, closed, rel_tol=1e-15)


@both_ways
def test_complete_integral_at_four_fifths_is_a_pendulum_constant(complete: Complete) -> None:
    # OEIS A376643: 4 K(4/5) / sqrt(5).
    assert math.isclose(4.0 * complete(0.8) / math.sqrt(5.0), 4.037811639956846, rel_tol=2e-15)


def test_mean_for_an_amplitude_of_72_degrees() -> None:
    # OEIS A310000: agm(1, cos 36 deg).
    mean = agm(floats(1.0), floats(math.cos(math.radians(36.0))))
    assert math.isclose(mean, 0.9019793381143432, rel_tol=1e-15)


@both_ways
def test_complete_integral_agrees_with_a_special_function_library(complete: Complete) -> None:
    m = np.concatenate([-np.geomspace(1e-3, 1e3, 500), 1.0 - np.geomspace(1e-15, 1.0, 500)])
    assert np.allclose(complete(m), special.ellipk(m), rtol=1e-14, atol=0.0)


def test_symmetric_integral_agrees_with_a_special_function_library() -> None:
    rng = np.random.default_rng(18)
    x, y, z = 10.0 ** rng.uniform(-12.0, 12.0, (3, 5000))
    x[:50] = 0.0
    assert np.allclose(carlson_rf(x, y, z), special.elliprf(x, y, z), rtol=2e-15, atol=0.0)
