"""Elliptic integrals of the first kind, without a special-function library.

Everything here takes the *parameter* m = k^2. Some texts print K(k) of the modulus k, and mixing
the two up gives an answer that looks right at small swings.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import FloatArray, floats

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


def elliptic_k(m: npt.ArrayLike) -> FloatArray:
    """Complete elliptic integral of the first kind, K(m) = pi / (2 agm(1, sqrt(1 - m))).

    Parameters
    ----------
    m : (...,) array
        Parameter, the square of the modulus, below 1.

    Returns
    -------
    (...,) array

    Raises
    ------
    ValueError
        If an m is 1 or more, where the integral diverges, or is no number.

    References
    ----------
    DLMF 19.8.5; Abramowitz & Stegun 17.6.3.

    Examples
    --------
    >>> round(float(elliptic_k(0.5)), 12)
    1.854074677301
    """
    m = floats(m)
    if not np.all((m < 1.0) & (m > -np.inf)):
        raise ValueError("K(m) needs a finite parameter m below 1")
    return np.pi / (2.0 * agm(floats(1.0), (1.0 - m) ** 0.5))


def agm(a: FloatArray, b: FloatArray) -> FloatArray:
    """Arithmetic-geometric mean of two positive numbers (DLMF 19.8.1)."""
    # Convergence is quadratic: at 1e-8 apart, the arithmetic mean is already exact.
    while not np.all(abs(a - b) <= 1e-8 * a):
        a, b = 0.5 * (a + b), (a * b) ** 0.5
    return 0.5 * (a + b)


def elliptic_f(phi_rad: npt.ArrayLike, m: npt.ArrayLike) -> FloatArray:
    """Incomplete elliptic integral of the first kind, F(phi | m).

    Parameters
    ----------
    phi_rad : (...,) array [rad]
        Amplitude, any real angle.
    m : (...,) array
        Parameter, the square of the modulus, below 1.

    Returns
    -------
    (...,) array

    Raises
    ------
    ValueError
        If an m is 1 or more, or anything is no number.

    References
    ----------
    DLMF 19.25.5 for the quarter period, 19.2.10 for the rest.
    """
    phi_rad, m = floats(phi_rad), floats(m)
    if not np.all(np.isfinite(phi_rad) & (m < 1.0) & (m > -np.inf)):
        raise ValueError("F(phi | m) needs a finite amplitude and a finite parameter m below 1")
    halves = np.rint(phi_rad / np.pi)
    sine, cosine = np.sin(phi_rad - halves * np.pi), np.cos(phi_rad - halves * np.pi)
    within = sine * carlson_rf(cosine * cosine, 1.0 - m * sine * sine, floats(1.0))
    return within + 2.0 * halves * elliptic_k(m)
