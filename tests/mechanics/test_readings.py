import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.mechanics.readings import (
    least_squares,
    sd_of_step,
    sd_within,
)

# JCGM 100:2008 (GUM) H.3, as transcribed in MSLNZ/GTC: readings and corrections of a
# thermometer.
THERMOMETER_C = [
    21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511,
]  # fmt: skip
CORRECTION_C = [
    -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160,
]  # fmt: skip


def test_stated_limits_are_standard_deviations_in_their_way() -> None:
    # From memory: JCGM 100:2008 (GUM) 4.3.7 and F.2.2.1.
    assert math.isclose(sd_within(0.40), 0.23, abs_tol=0.002)
    assert math.isclose(sd_of_step(1.0), 0.29, abs_tol=0.002)


def test_calibration_line_of_a_thermometer() -> None:
    # JCGM 100:2008 (GUM) H.3, about 20 degrees C.
    at = np.array(THERMOMETER_C) - 20.0
    design = np.stack([np.ones(11), at], axis=-1)
    line = least_squares(design, CORRECTION_C, np.ones(11))
    covariance = line.covariance * line.chi2 / (11 - 2)
    assert math.isclose(line.parameters[0], -0.1712, abs_tol=5e-5)
    assert math.isclose(line.parameters[1], 0.00218, abs_tol=5e-6)
    assert math.isclose(math.sqrt(covariance[0, 0]), 0.0029, abs_tol=5e-5)
    assert math.isclose(math.sqrt(covariance[1, 1]), 0.00067, abs_tol=5e-6)
    correlation = covariance[0, 1] / math.sqrt(covariance[0, 0] * covariance[1, 1])
    assert math.isclose(correlation, -0.930, abs_tol=0.001)
    assert math.isclose(line.chi2, 0.000110096583109, abs_tol=1e-14)
    at_30 = np.array([1.0, 10.0])
    assert math.isclose(at_30 @ line.parameters, -0.1494, abs_tol=5e-5)
    assert math.isclose(math.sqrt(at_30 @ covariance @ at_30), 0.0041, abs_tol=5e-5)


@given(st.integers(0, 1000), st.floats(1e-8, 1e8))
def test_the_unit_of_a_parameter_does_not_matter(seed: int, unit: float) -> None:
    rng = np.random.default_rng(seed)
    design, values, sds = rng.normal(size=(6, 2)), rng.normal(size=6), rng.uniform(0.5, 2.0, 6)
    plain = least_squares(design, values, sds)
    scaled = least_squares(design * [1.0, unit], values, sds)
    assert np.allclose(scaled.parameters * [1.0, unit], plain.parameters, rtol=1e-9)
    assert math.isclose(scaled.covariance[0, 0], plain.covariance[0, 0], rel_tol=1e-9)
    assert math.isclose(scaled.chi2, plain.chi2, rel_tol=1e-9)


def test_many_fits_at_once_are_the_single_ones() -> None:
    rng = np.random.default_rng(2)
    design, values = rng.normal(size=(4, 6, 2)), rng.normal(size=(4, 6))
    every, one = least_squares(design, values, 1.0), least_squares(design[3], values[3], 1.0)
    assert np.allclose(every.parameters[3], one.parameters, rtol=1e-12)
    assert np.allclose(every.covariance[3], one.covariance, rtol=1e-12)


@pytest.mark.parametrize("second", [[0.0, 0.0, 0.0], [2.0, 2.0, 2.0]])
def test_readings_that_do_not_tell_a_parameter_are_refused(second: list[float]) -> None:
    design = np.stack([np.ones(3), second], axis=-1)
    with pytest.raises(ValueError, match="do not determine"):
        least_squares(design, np.ones(3), np.ones(3))
