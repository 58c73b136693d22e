import math

import numpy as np
from scipy import special

from riglog.mechanics.arrays import FloatArray, IndexArray
from riglog.mechanics.roots import bracketed_root
from riglog.mechanics.swing import amplitude_ratio


def test_roots_of_a_cubic_are_exact_one_for_one() -> None:
    wanted = np.array([1e-9, 0.001, 1.0, 27.0, 1e6])

    def cubic(point: FloatArray, index: IndexArray) -> FloatArray:
        return point**3 - wanted[index]

    low, high = np.zeros(5), np.full(5, 1e3)
    roots = bracketed_root(cubic, (low, high), (-wanted, high**3 - wanted), np.full(5, 1.0))
    assert np.allclose(roots, np.cbrt(wanted), rtol=1e-15, atol=0.0)


def test_an_end_that_is_the_root_is_the_answer() -> None:
    def line(point: FloatArray, _index: IndexArray) -> FloatArray:
        return point - 2.0

    two, five = np.array([2.0]), np.array([5.0])
    assert bracketed_root(line, (two, five), (two - 2.0, five - 2.0), five) == 2.0
    assert bracketed_root(line, (five, two), (five - 2.0, two - 2.0), five) == 2.0


def test_a_step_that_is_flat_on_both_sides_is_found() -> None:
    def step(point: FloatArray, _index: IndexArray) -> FloatArray:
        return np.where(point < 1.0 / 3.0, -1.0, 1.0)

    ends, values = (np.zeros(1), np.ones(1)), (-np.ones(1), np.ones(1))
    assert math.isclose(bracketed_root(step, ends, values, np.array([0.5]))[0], 1 / 3)


def test_amplitude_at_which_the_period_doubles_is_found_near_the_separatrix() -> None:
    # OEIS A256514, citing Carvalhaes & Suppes, Am. J. Phys. 76, 1150 (2008).
    def excess(amplitude: FloatArray, _index: IndexArray) -> FloatArray:
        return amplitude_ratio(amplitude) - 2.0

    low, high = np.array([0.1]), np.array([3.14])
    values = excess(low, np.zeros(1, dtype=int)), excess(high, np.zeros(1, dtype=int))
    amplitude = bracketed_root(excess, (low, high), values, np.array([2.0]))[0]
    assert math.isclose(amplitude, 2.788231124107204, rel_tol=1e-14)
    assert math.isclose(math.degrees(amplitude), 159.75387571836004, rel_tol=1e-14)
    assert math.isclose(special.ellipk(math.sin(amplitude / 2.0) ** 2), math.pi, rel_tol=1e-13)
