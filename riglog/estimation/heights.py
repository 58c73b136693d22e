"""Drop time and height of the pivot for a rig hung in trim, as the fit uses them.

    T = f sqrt((k^2 + d^2) / (g d)),  d = (L - sqrt(L^2 - 4 k^2)) / 2,  L = g T^2 / f^2

with f = K(m) - F(phi | m) for the angles of release and stop, 1.854075 from horizontal to
upright. Friction at the pivot lengthens a drop as if neutral lay higher by ``FRICTION_SHIFT``
times tau / (M g): to first order, d T / d mu over -d T / d d at x = 0 from horizontal. A center
of gravity x forward does so by ``FORWARD_SHIFT`` times x in a drop with the nose down.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray
from riglog.records.readings.measured import HORIZONTAL

Number = float | FloatArray
# K(1/2), the factor of a drop from horizontal to upright (OEIS A093341).
FROM_HORIZONTAL = 1.8540746773013719
# Integral of phi sin(phi)^(-3/2) over that of sin(phi)^(-1/2), both from 0 to pi/2.
FRICTION_SHIFT = 1.1069833853
# Integral of (1 - cos(phi)) sin(phi)^(-3/2) over the same.
FORWARD_SHIFT = 0.3058131825
# A time shorter than any drop tells only that the pivot is about k away.
_LEAST_ROOT = 0.2


def height(time_s: Number, factor: Number, k2_m2: Number) -> FloatArray:
    """Pivot above the center of gravity [m]: the near one of the two that give this time."""
    length, root = _length_and_root(time_s, factor, k2_m2)
    return 2 * k2_m2 / (length + root)


def height_slopes(time_s: Number, factor: Number, k2_m2: Number) -> tuple[FloatArray, FloatArray]:
    """Change of that height with the time [m/s] and with k^2 [1/m]."""
    length, root = _length_and_root(time_s, factor, k2_m2)
    near = 2 * k2_m2 / (length + root)
    return -2 * length * near / (root * time_s), 1 / root


def drop(height_m: Number, factor: Number, k2_m2: Number) -> FloatArray:
    """Drop time [s] for a pivot ``height_m`` > 0 above the center of gravity."""
    return factor * np.sqrt((k2_m2 + np.square(height_m)) / (STANDARD_GRAVITY * height_m))


@cache
def torque_shift(release_rad: float, stop_rad: float) -> float:
    """How much higher neutral seems to lie per torque over weight, dropped between these angles.

    The less a drop falls, the more of its way goes into friction: from 30 degrees 2.3 times as
    much as from horizontal.
    """
    if release_rad == HORIZONTAL and stop_rad == 0.0:
        return FRICTION_SHIFT
    from riglog.mechanics.friction import drop_gradient  # seldom needed, and slow to read

    far = drop_gradient(1.0, 1e12, release_rad=release_rad, stop_rad=stop_rad)
    return float(-far.per_friction / far.per_d)


def shortest_s(factor: Number, k2_m2: Number) -> FloatArray:
    """The shortest drop time there is, with the pivot k above the center of gravity."""
    return factor * np.sqrt(2 * np.sqrt(k2_m2) / STANDARD_GRAVITY)


def _length_and_root(
    time_s: Number, factor: Number, k2_m2: Number
) -> tuple[FloatArray, FloatArray]:
    length = STANDARD_GRAVITY * np.square(time_s / factor)
    square = np.square(length) - 4 * k2_m2
    return length, np.sqrt(np.maximum(square, np.square(_LEAST_ROOT * length)))
