"""Elliptic integrals of the first kind, without a special-function library."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from riglog.mechanics.arrays import FloatArray

K_HALF = 1.8540746773013719  # K(1/2) = Gamma(1/4)^2 / (4 sqrt(pi)): a drop from horizontal

_CLOSE = 0.005  # the series below is then cut at the eighth power of 0.01, under half an ulp


def carlson_rf(x: FloatArray, y: FloatArray, z: FloatArray) -> FloatArray:
    """Symmetric elliptic integral R_F(x, y, z) by duplication.

    R_F = 1/2 int_0^inf dt / sqrt((t + x)(t + y)(t + z)). Each duplication brings the three
    arguments four times closer together; a Taylor series about their mean does the rest.

    Parameters
    ----------
    x, y, z : (...,) array
        Not negative, at most one of them zero. Not checked: callers have checked the physics.

    Returns
    -------
    (...,) array

    References
    ----------
    B. C. Carlson, "Numerical computation of real or complex elliptic integrals", Numerical
    Algorithms 10 (1995) 13-26; DLMF 19.36.1 for the series to the seventh power.
    """
    far = True
    while far:
        root_x, root_y, root_z = x**0.5, y**0.5, z**0.5
        shift = root_x * (root_y + root_z) + root_y * root_z
        x, y, z = 0.25 * (x + shift), 0.25 * (y + shift), 0.25 * (z + shift)
        mean = (x + y + z) / 3.0
        dx, dy = 1.0 - x / mean, 1.0 - y / mean
        far = not np.all((abs(dx) < _CLOSE) & (abs(dy) < _CLOSE))
    dz = -dx - dy
    e2, e3 = dx * dy - dz * dz, dx * dy * dz
    series = (
        1.0 - e2 / 10.0 + e3 / 14.0 + e2 * e2 / 24.0 - e2 * e3 * (3.0 / 44.0)
        - e2**3 * (5.0 / 208.0) + e3 * e3 * (3.0 / 104.0) + e2 * e2 * e3 / 16.0
    )  # fmt: skip
    result: FloatArray = series / mean**0.5
    return result


def agm(a: FloatArray, b: FloatArray) -> FloatArray:
    """Arithmetic-geometric mean of two positive numbers (DLMF 19.8.1)."""
    # Convergence is quadratic: at 1e-8 apart, the arithmetic mean is already exact.
    while not np.all(abs(a - b) <= 1e-8 * a):
        a, b = 0.5 * (a + b), (a * b) ** 0.5
    return 0.5 * (a + b)
