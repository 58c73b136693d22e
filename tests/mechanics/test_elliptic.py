import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from riglog.mechanics.arrays import floats
from riglog.mechanics.elliptic import K_HALF, agm, carlson_rf, elliptic_f, elliptic_k

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


def test_complete_integral_is_that_of_the_handbook() -> None:
    expected = np.array(list(TABLE_17_1.values()))
    assert np.allclose(elliptic_k(list(TABLE_17_1)), expected, rtol=0.0, atol=6e-15)


def test_complete_integral_is_exact_close_to_the_separatrix() -> None:
    expected = np.array(list(NEAR_SEPARATRIX.values()))
    assert np.allclose(elliptic_k(list(NEAR_SEPARATRIX)), expected, rtol=1e-15, atol=0.0)


def test_complete_integral_at_one_half_is_a_gamma_function() -> None:
    # OEIS A093341, citing Abramowitz & Stegun 18.14.7.
    assert math.isclose(elliptic_k(0.5), 1.8540746773013719, rel_tol=1e-15)
    closed = math.gamma(0.25) ** 2 / (4.0 * math.sqrt(math.pi))
    assert math.isclose(K_HALF, closed, rel_tol=1e-15)


def test_complete_integral_at_four_fifths_is_a_pendulum_constant() -> None:
    # OEIS A376643: 4 K(4/5) / sqrt(5).
    assert math.isclose(4.0 * elliptic_k(0.8) / math.sqrt(5.0), 4.037811639956846, rel_tol=1e-15)


def test_mean_for_an_amplitude_of_72_degrees() -> None:
    # OEIS A310000: agm(1, cos 36 deg).
    mean = agm(floats(1.0), floats(math.cos(math.radians(36.0))))
    assert math.isclose(mean, 0.9019793381143432, rel_tol=1e-15)


def test_complete_integral_agrees_with_a_special_function_library() -> None:
    m = np.concatenate([-np.geomspace(1e-3, 1e3, 500), 1.0 - np.geomspace(1e-15, 1.0, 500)])
    assert np.allclose(elliptic_k(m), special.ellipk(m), rtol=1e-14, atol=0.0)


def test_incomplete_integral_agrees_with_a_special_function_library() -> None:
    rng = np.random.default_rng(17)
    # Nearer to m = 1 a rounding of the amplitude itself counts for more than 1e-13.
    phi, m = rng.uniform(-20.0, 20.0, 5000), 1.0 - np.geomspace(1e-3, 6.0, 5000)
    assert np.allclose(elliptic_f(phi, m), special.ellipkinc(phi, m), rtol=1e-13, atol=1e-15)


def test_symmetric_integral_agrees_with_a_special_function_library() -> None:
    rng = np.random.default_rng(18)
    x, y, z = 10.0 ** rng.uniform(-12.0, 12.0, (3, 5000))
    x[:50] = 0.0
    assert np.allclose(carlson_rf(x, y, z), special.elliprf(x, y, z), rtol=2e-15, atol=0.0)


@given(st.floats(-100.0, 0.999))
def test_incomplete_integral_over_a_quarter_is_the_complete_one(m: float) -> None:
    assert math.isclose(elliptic_f(math.pi / 2.0, m), elliptic_k(m), rel_tol=1e-14)


@pytest.mark.parametrize("m", [1.0, 1.5, math.nan, math.inf, -math.inf, [0.5, 1.0]])
def test_parameters_where_the_integrals_diverge_are_refused(m: float | list[float]) -> None:
    with pytest.raises(ValueError, match="parameter m below 1"):
        elliptic_k(m)
    with pytest.raises(ValueError, match="parameter m below 1"):
        elliptic_f(0.5, m)


def test_scalars_stay_scalars_and_arrays_keep_their_shape() -> None:
    assert isinstance(elliptic_k(0.5), float)
    assert elliptic_f(np.zeros((2, 1)), np.zeros(3)).shape == (2, 3)
