"""From drop times to heights: how far above the center of gravity the pivot must stand.

The drop time falls from neutral to a shortest one near d = k and rises beyond, so a time has two
heights; the near root, d < k, is the useful one. For x = 0 without friction, with the swing
factor C of the release and the stop line and L = g T^2 / C^2, they solve

    d^2 - L d + k^2 = 0.

Else they are found between the height at which the rig just passes the stop line and the one of
the shortest drop. With the center of gravity on the far side of upright, or with friction, the
rig turns round at the stop line after a *finite* time: longer drops do not exist either.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import STANDARD_GRAVITY, BoolArray, FloatArray, floats
from riglog.mechanics.friction import drop_gradient
from riglog.mechanics.height_search import (
    ROUNDING,
    check_times,
    checked_setup,
    closed_roots,
    far_root,
    flat,
    inverse_square,
    lowest_height,
    near_root,
    shortest_height,
)
from riglog.mechanics.pendulum import HORIZONTAL, swing_factor


class HeightGradient(NamedTuple):
    """The near root [m] and its derivatives with respect to each thing it depends on, (...,) each.

    ``per_drop`` in m/s, ``per_k2`` in 1/m, ``per_x`` and ``per_friction`` without unit,
    ``per_release`` and ``per_stop`` in m/rad. In closed form, for x = 0 without friction,
    dd/dT = 2 L d / (T (2 d - L)) and dd/dk2 = 1 / (L - 2 d).
    """

    d_m: FloatArray
    per_drop: FloatArray
    per_k2: FloatArray
    per_x: FloatArray
    per_friction: FloatArray
    per_release: FloatArray
    per_stop: FloatArray


def pivot_height(
    drop_s: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    nose: npt.ArrayLike = 1,
    friction_m: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> FloatArray:
    """Height d of the pivot above the center of gravity that gives a drop time: the near root.

    Parameters
    ----------
    drop_s : (...,) array [s]
    k2_m2 : (...,) array [m^2]
        Radius of gyration squared about the center of gravity, positive.
    x_m : (...,) array [m]
        Center of gravity forward of the pivot axis.
    release_rad, stop_rad : (...,) array [rad]
        Lean at release, under half a turn, and at the stop line, nearer to upright.
    nose : (...,) array
        1 if released with the nose down, -1 with the nose up.
    friction_m : (...,) array [m]
        Constant torque over weight, positive where it holds the drop back.
    gravity : (...,) array [m/s^2]

    Returns
    -------
    (...,) array [m]

    Raises
    ------
    ValueError
        If no height gives this drop time: ask ``has_height``, or compare with ``shortest_drop``
        and ``longest_drop``.

    Examples
    --------
    >>> round(1000 * float(pivot_height(3.0, 0.34**2)), 2)
    4.5
    """
    drop_s = floats(drop_s)
    setup = checked_setup(
        k2_m2, x_m=x_m, release_rad=release_rad, stop_rad=stop_rad, nose=nose,
        friction_m=friction_m, gravity=gravity,
    )  # fmt: skip
    check_times(drop_s)
    if setup.plain:
        return closed_roots(drop_s, setup)[0]
    return near_root(drop_s, setup)


def both_roots(
    drop_s: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    nose: npt.ArrayLike = 1,
    friction_m: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> tuple[FloatArray, FloatArray]:
    """Both heights that give a drop time, the near one first; as ``pivot_height``."""
    drop_s = floats(drop_s)
    setup = checked_setup(
        k2_m2, x_m=x_m, release_rad=release_rad, stop_rad=stop_rad, nose=nose,
        friction_m=friction_m, gravity=gravity,
    )  # fmt: skip
    check_times(drop_s)
    if setup.plain:
        return closed_roots(drop_s, setup)
    near = near_root(drop_s, setup)
    drop_s, setup, shape = flat(drop_s, setup)
    return near, far_root(drop_s, setup).reshape(shape)[()]


def shortest_drop(
    k2_m2: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    nose: npt.ArrayLike = 1,
    friction_m: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> tuple[FloatArray, FloatArray]:
    """Shortest drop time that any height gives, and that height.

    For x = 0 without friction it is C sqrt(2 k / g) at d = k. Parameters as ``pivot_height``.

    Returns
    -------
    time_s, d_m : (...,) arrays [s], [m]
    """
    setup = checked_setup(
        k2_m2, x_m=x_m, release_rad=release_rad, stop_rad=stop_rad, nose=nose,
        friction_m=friction_m, gravity=gravity,
    )  # fmt: skip
    if setup.plain:
        k = setup.k2**0.5
        return swing_factor(setup.release, setup.stop) * (2.0 * k / setup.gravity) ** 0.5, k
    _, setup, shape = flat(floats(0.0), setup)
    d = shortest_height(setup)
    time = inverse_square(d, setup) ** -0.5
    return time.reshape(shape)[()], d.reshape(shape)[()]


def longest_drop(
    k2_m2: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    nose: npt.ArrayLike = 1,
    friction_m: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> FloatArray:
    """Time that no drop on the near root reaches: inf, unless the rig turns round at the stop line.

    Parameters as ``pivot_height``. To 1e-6 relative.

    Returns
    -------
    (...,) array [s]
    """
    setup = checked_setup(
        k2_m2, x_m=x_m, release_rad=release_rad, stop_rad=stop_rad, nose=nose,
        friction_m=friction_m, gravity=gravity,
    )  # fmt: skip
    _, setup, shape = flat(floats(0.0), setup)
    slowest = lowest_height(setup)[1]
    time = np.full(slowest.shape, np.inf)
    time[slowest > 0.0] = slowest[slowest > 0.0] ** -0.5
    return time.reshape(shape)[()]


def has_height(
    drop_s: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    nose: npt.ArrayLike = 1,
    friction_m: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> BoolArray:
    """Whether some height gives a drop time. Parameters as ``pivot_height``."""
    drop_s = floats(drop_s)
    where = {
        "x_m": x_m, "release_rad": release_rad, "stop_rad": stop_rad, "nose": nose,
        "friction_m": friction_m, "gravity": gravity,
    }  # fmt: skip
    shortest, _ = shortest_drop(k2_m2, **where)
    exists: BoolArray = (drop_s >= shortest * (1.0 - ROUNDING)) & (
        drop_s < longest_drop(k2_m2, **where)
    )
    return exists


def height_gradient(
    drop_s: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    nose: npt.ArrayLike = 1,
    friction_m: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> HeightGradient:
    """The near root and its first derivatives: those of the drop time over minus dT/dd.

    Parameters as ``pivot_height``.

    Raises
    ------
    ValueError
        If no height gives this drop time, or it is the shortest one, where dd/dT is infinite.
    """
    where = {"x_m": x_m, "release_rad": release_rad, "stop_rad": stop_rad, "nose": nose}
    where |= {"friction_m": friction_m, "gravity": gravity}
    d = pivot_height(drop_s, k2_m2, **where)
    of_time = drop_gradient(d, k2_m2, **where)
    if not np.all(of_time.per_d < 0.0):
        raise ValueError("at the shortest drop the height has no derivative")
    d, *slopes = np.broadcast_arrays(d, *of_time[2:])
    return HeightGradient(d[()], 1.0 / of_time.per_d, *(-s / of_time.per_d for s in slopes))
