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
from riglog.mechanics.friction import drop_gradient, drop_time_with_friction
from riglog.mechanics.pendulum import HORIZONTAL, reaches, swing_factor
from riglog.mechanics.roots import bracketed_root

_ROUNDING = 1e-14  # a shortest drop asked back may come out this much too short


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
    setup = _setup(k2_m2, x_m, release_rad, stop_rad, nose, friction_m, gravity)
    if setup.plain:
        return _closed_roots(drop_s, setup)[0]
    drop_s, setup, shape = _flat(drop_s, setup)
    return _near_root(drop_s, setup).reshape(shape)[()]


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
    setup = _setup(k2_m2, x_m, release_rad, stop_rad, nose, friction_m, gravity)
    if setup.plain:
        return _closed_roots(drop_s, setup)
    drop_s, setup, shape = _flat(drop_s, setup)
    near = _near_root(drop_s, setup)
    return near.reshape(shape)[()], _far_root(drop_s, setup).reshape(shape)[()]


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
    setup = _setup(k2_m2, x_m, release_rad, stop_rad, nose, friction_m, gravity)
    if setup.plain:
        k = setup.k2**0.5
        return swing_factor(setup.release, setup.stop) * (2.0 * k / setup.gravity) ** 0.5, k
    _, setup, shape = _flat(floats(0.0), setup)
    d = _shortest(setup)
    time = _inverse_square(d, setup) ** -0.5
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
    setup = _setup(k2_m2, x_m, release_rad, stop_rad, nose, friction_m, gravity)
    _, setup, shape = _flat(floats(0.0), setup)
    slowest = _lowest(setup)[1]
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
    exists: BoolArray = (drop_s >= shortest * (1.0 - _ROUNDING)) & (
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


class _Setup(NamedTuple):
    """Everything but height and time; ``ahead`` is x seen from the side of the release."""

    k2: FloatArray
    ahead: FloatArray
    release: FloatArray
    stop: FloatArray
    friction: FloatArray
    gravity: FloatArray

    @property
    def plain(self) -> bool:
        return not (np.any(self.ahead) or np.any(self.friction))

    @property
    def extent(self) -> FloatArray:
        """A length that the shortest drop's height is of the order of."""
        length: FloatArray = self.k2**0.5 + abs(self.ahead) + abs(self.friction)
        return length

    def only(self, index: FloatArray | BoolArray) -> _Setup:
        return _Setup(*(field[index] for field in self))


def _setup(
    k2_m2: npt.ArrayLike,
    x_m: npt.ArrayLike,
    release_rad: npt.ArrayLike,
    stop_rad: npt.ArrayLike,
    nose: npt.ArrayLike,
    friction_m: npt.ArrayLike,
    gravity: npt.ArrayLike,
) -> _Setup:
    setup = _Setup(
        floats(k2_m2), floats(x_m) * floats(nose), floats(release_rad), floats(stop_rad),
        floats(friction_m), floats(gravity),
    )  # fmt: skip
    usable = (setup.k2 > 0.0) & (setup.gravity > 0.0) & np.isfinite(setup.ahead + setup.friction)
    if not np.all(usable):
        raise ValueError("k2 and gravity must be positive, offset and friction finite")
    if not np.all((abs(setup.stop) < setup.release) & (setup.release < np.pi)):
        raise ValueError("release must be under half a turn, the stop line nearer to upright")
    return setup


def _flat(drop_s: FloatArray, setup: _Setup) -> tuple[FloatArray, _Setup, tuple[int, ...]]:
    drop_s, *fields = np.broadcast_arrays(drop_s, *setup)
    return drop_s.ravel(), _Setup(*(field.ravel() for field in fields)), drop_s.shape


def _closed_roots(drop_s: FloatArray, setup: _Setup) -> tuple[FloatArray, FloatArray]:
    k = setup.k2**0.5
    length = setup.gravity * (drop_s / swing_factor(setup.release, setup.stop)) ** 2
    if not np.all(length >= 2.0 * k * (1.0 - _ROUNDING)):
        raise ValueError("no pivot height gives so short a drop")
    sum_of_both = length + (np.maximum(length - 2.0 * k, 0.0) * (length + 2.0 * k)) ** 0.5
    return 2.0 * setup.k2 / sum_of_both, 0.5 * sum_of_both


def _inverse_square(d: FloatArray, setup: _Setup) -> FloatArray:
    """1 / T^2, which is nearly straight in d near neutral, and 0 where the rig never arrives."""
    where = {"x_m": setup.ahead, "release_rad": setup.release, "stop_rad": setup.stop}
    passes = reaches(d, friction_m=setup.friction, **where)
    inverse = np.zeros(d.shape)
    part = setup.only(passes)
    inverse[passes] = drop_time_with_friction(
        d[passes], part.k2, part.friction,
        x_m=part.ahead, release_rad=part.release, stop_rad=part.stop, gravity=part.gravity,
    ) ** -2.0  # fmt: skip
    return inverse


def _lowest(setup: _Setup) -> tuple[FloatArray, FloatArray]:
    """Height at which the rig just passes, and 1 / T^2 in that limit.

    It must start, which at the limit takes forever, and it must get to the stop line, where it
    turns round at the limit: then T = T0 - c sqrt(d - d0), and two times tell T0.
    """
    _, ahead, release, stop, friction, _ = setup
    starts = (friction + ahead * np.cos(release)) / np.sin(release)
    turns = (ahead * (np.sin(release) - np.sin(stop)) + friction * (release - stop)) / (
        np.cos(stop) - np.cos(release)
    )
    lowest, slowest = np.maximum(starts, turns), np.zeros(starts.shape)
    finite = np.flatnonzero(turns > starts)
    if finite.size:
        part, d0 = setup.only(finite), lowest[finite]
        above = np.minimum(1e-9 * part.extent, 1e-6 * (turns - starts)[finite])
        first, second = (_inverse_square(d0 + step, part) for step in (above, 4.0 * above))
        there = (first > 0.0) & (second > 0.0)
        limit = 2.0 * first[there] ** -0.5 - second[there] ** -0.5
        slowest[finite[there]] = limit**-2.0
    return lowest, slowest


def _shortest(setup: _Setup) -> FloatArray:
    """Height of the shortest drop: where dT/dd is zero."""

    def slope(d: FloatArray, index: FloatArray | BoolArray) -> FloatArray:
        part = setup.only(index)
        return drop_gradient(
            d, part.k2, x_m=part.ahead, release_rad=part.release, stop_rad=part.stop,
            friction_m=part.friction, gravity=part.gravity,
        ).per_d  # fmt: skip

    lowest, _ = _lowest(setup)
    everywhere = np.arange(lowest.size)
    low, high = lowest + 0.1 * setup.extent, lowest + 4.0 * setup.extent
    while np.any(low_slope := (slope(low, everywhere) >= 0.0)):
        low = np.where(low_slope, lowest + 0.1 * (low - lowest), low)
    while np.any(high_slope := (slope(high, everywhere) <= 0.0)):
        high = np.where(high_slope, lowest + 4.0 * (high - lowest), high)
    values = slope(low, everywhere), slope(high, everywhere)
    return bracketed_root(slope, (low, high), values, lowest + setup.extent)


def _fastest(setup: _Setup, wanted: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Height between the roots of a drop time, and 1 / T^2 there.

    Near d = k is good enough unless the time asked for is close to the shortest.
    """
    d = (setup.k2 + setup.ahead**2) ** 0.5
    inverse = _inverse_square(d, setup)
    slow = np.flatnonzero(inverse < wanted)
    if slow.size:
        d[slow] = _shortest(setup.only(slow))
        inverse[slow] = _inverse_square(d[slow], setup.only(slow))
    if not np.all(inverse >= wanted * (1.0 - 2.0 * _ROUNDING)):
        raise ValueError("no pivot height gives so short a drop")
    return d, np.maximum(inverse, wanted)


def _near_root(drop_s: FloatArray, setup: _Setup) -> FloatArray:
    if not np.all((drop_s > 0.0) & np.isfinite(drop_s)):
        raise ValueError("drop times must be positive")
    wanted = drop_s**-2.0
    high, fastest = _fastest(setup, wanted)
    low, slowest = _lowest(setup)
    if not np.all(slowest < wanted):
        raise ValueError("no pivot height gives so long a drop: the rig turns round before it")
    plain, _ = _closed_roots(np.maximum(drop_s, _plain_shortest(setup)), setup)
    return bracketed_root(
        lambda d, index: _inverse_square(d, setup.only(index)) - wanted[index],
        (low, high),
        (slowest - wanted, fastest - wanted),
        # Never the end itself, where rounding decides whether the rig passes.
        np.clip(plain, low + 1e-3 * (high - low), high),
    )


def _plain_shortest(setup: _Setup) -> FloatArray:
    shortest: FloatArray = (
        swing_factor(setup.release, setup.stop) * (2.0 * setup.k2**0.5 / setup.gravity) ** 0.5
    )
    return shortest


def _far_root(drop_s: FloatArray, setup: _Setup) -> FloatArray:
    wanted = drop_s**-2.0
    low, fastest = _fastest(setup, wanted)
    high = 2.0 * _closed_roots(np.maximum(drop_s, _plain_shortest(setup)), setup)[1]
    while np.any(early := _inverse_square(high, setup) >= wanted):
        high = np.where(early, 2.0 * high, high)
    return bracketed_root(
        lambda d, index: _inverse_square(d, setup.only(index)) - wanted[index],
        (low, high),
        (fastest - wanted, _inverse_square(high, setup) - wanted),
        0.5 * high,
    )
