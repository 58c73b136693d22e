"""Swings about where the rig rests: their period, and the drop time they are as good as."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import FloatArray, floats
from riglog.mechanics.elliptic import K_HALF, agm

# Drop time from horizontal to upright of a trimmed rig, over its small-swing period.
DROP_PER_PERIOD = K_HALF / (2.0 * np.pi)


def amplitude_ratio(amplitude_rad: npt.ArrayLike) -> FloatArray:
    """Period at an amplitude over that of a very small swing, 1 / agm(1, cos(amplitude / 2)).

    Parameters
    ----------
    amplitude_rad : (...,) array [rad]
        From rest, under half a turn.

    Returns
    -------
    (...,) array

    Raises
    ------
    ValueError
        If an amplitude is half a turn or more.

    References
    ----------
    Abramowitz & Stegun 17.3.11 with 17.6.3.
    """
    amplitude_rad = floats(amplitude_rad)
    if not np.all(abs(amplitude_rad) < np.pi):
        raise ValueError("a swing's amplitude is under half a turn")
    return 1.0 / agm(floats(1.0), np.cos(0.5 * amplitude_rad))


def mean_amplitude_ratio(first_rad: npt.ArrayLike, last_rad: npt.ArrayLike) -> FloatArray:
    """``amplitude_ratio`` over swings that die away evenly from a first amplitude to a last.

    By Simpson's rule; what a constant torque takes off the amplitude is nearly the same each time.
    """
    first_rad, last_rad = floats(first_rad), floats(last_rad)
    ends = amplitude_ratio(first_rad) + amplitude_ratio(last_rad)
    mean: FloatArray = (ends + 4.0 * amplitude_ratio(0.5 * (first_rad + last_rad))) / 6.0
    return mean


def friction_of_decay(
    first_rad: npt.ArrayLike, last_rad: npt.ArrayLike, swings: npt.ArrayLike
) -> FloatArray:
    """Constant friction torque over M g r, by how swings die away.

    Over half a swing from an amplitude a to the next one b friction takes the work tau (a + b)
    from M g r (cos b - cos a), so that with many of them

        tau / (M g r) = (Si(first) - Si(last)) / (4 swings),

    Si the sine integral; for small amplitudes the even loss of 4 tau / (M g r) a swing.

    Parameters
    ----------
    first_rad, last_rad : (...,) array [rad]
        Amplitudes from rest before the first swing and after the last one.
    swings : (...,) array
        How many full swings lie between.

    Returns
    -------
    (...,) array
        Also the sine of the tilt within which it stays put.

    Raises
    ------
    ValueError
        If the amplitudes do not fall, or an amplitude is half a turn or more.
    """
    first_rad, last_rad, swings = floats(first_rad), floats(last_rad), floats(swings)
    if not np.all((last_rad >= 0.0) & (first_rad >= last_rad) & (first_rad < np.pi)):
        raise ValueError("swings that die away fall from under half a turn")
    if not np.all(swings > 0.0):
        raise ValueError("it takes a swing")
    friction: FloatArray = (_sine_integral(first_rad) - _sine_integral(last_rad)) / (4.0 * swings)
    return friction


def _sine_integral(x: FloatArray) -> FloatArray:
    """Si(x) by its power series (DLMF 6.6.5): ten terms give 1e-12 up to pi."""
    term, total = x, x
    for n in range(1, 12):
        term = -term * x * x / ((2 * n) * (2 * n + 1))
        total = total + term / (2 * n + 1)
    return total
