"""The search behind ``pivot.py``: flat arrays in, heights out."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import BoolArray, FloatArray, IndexArray, floats
from riglog.mechanics.friction import drop_gradient, drop_time_with_friction
from riglog.mechanics.pendulum import reaches, swing_factor
from riglog.mechanics.roots import bracketed_root

_SECANTS = 6
_CLOSE = 1e-10  # relative, in 1 / T^2: one more secant step from here is exact
_INSIDE = 1e-9  # of k: nearer to the lowest height, rounding decides whether the rig passes
ROUNDING = 1e-14  # a shortest drop asked back may come out this much too short


class Setup(NamedTuple):
    """Everything but height and time; ``ahead`` is x seen from the side of the release."""

    k2: FloatArray
    ahead: FloatArray
    release: FloatArray
    stop: FloatArray
    friction: FloatArray
    gravity: FloatArray

    @property
    def plain(self) -> bool:
        """Trimmed and free of friction, all of it: the roots have a closed form."""
        return not (np.any(self.ahead) or np.any(self.friction))

    @property
    def extent(self) -> FloatArray:
        """A length that the shortest drop's height is of the order of."""
        length: FloatArray = self.k2**0.5 + abs(self.ahead) + abs(self.friction)
        return length

    def only(self, index: IndexArray | BoolArray) -> Setup:
        """Those of a flat setup that the index picks."""
        return Setup(*(field[index] for field in self))


def checked_setup(
    k2_m2: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike,
    release_rad: npt.ArrayLike,
    stop_rad: npt.ArrayLike,
    nose: npt.ArrayLike,
    friction_m: npt.ArrayLike,
    gravity: npt.ArrayLike,
) -> Setup:
    """What a question says, as floats; ValueError if it is none that a height can answer."""
    setup = Setup(
        floats(k2_m2), floats(x_m) * floats(nose), floats(release_rad), floats(stop_rad),
        floats(friction_m), floats(gravity),
    )  # fmt: skip
    usable = (setup.k2 > 0.0) & (setup.gravity > 0.0) & np.isfinite(setup.ahead + setup.friction)
    if not np.all(usable):
        raise ValueError("k2 and gravity must be positive, offset and friction finite")
    if not np.all((abs(setup.stop) < setup.release) & (setup.release < np.pi)):
        raise ValueError("release must be under half a turn, the stop line nearer to upright")
    return setup


def check_times(drop_s: FloatArray) -> None:
    """ValueError unless all are positive and finite."""
    if not np.all((drop_s > 0.0) & (drop_s < np.inf)):
        raise ValueError("drop times must be positive")


def flat(drop_s: FloatArray, setup: Setup) -> tuple[FloatArray, Setup, tuple[int, ...]]:
    """Broadcast against each other and make one axis of it; the shape leads back."""
    drop_s, *fields = np.broadcast_arrays(drop_s, *setup)
    return drop_s.ravel(), Setup(*(field.ravel() for field in fields)), drop_s.shape


def closed_roots(drop_s: FloatArray, setup: Setup) -> tuple[FloatArray, FloatArray]:
    """Near and far root of d^2 - L d + k^2 = 0, without offset and friction."""
    k = setup.k2**0.5
    length = setup.gravity * (drop_s / swing_factor(setup.release, setup.stop)) ** 2
    if not np.all(length >= 2.0 * k * (1.0 - ROUNDING)):
        raise ValueError("no pivot height gives so short a drop")
    sum_of_both = length + (np.maximum(length - 2.0 * k, 0.0) * (length + 2.0 * k)) ** 0.5
    return 2.0 * setup.k2 / sum_of_both, 0.5 * sum_of_both


def inverse_square(d: FloatArray, setup: Setup) -> FloatArray:
    """1 / T^2, which is nearly straight in d near neutral, and 0 where the rig never arrives."""
    where = {"x_m": setup.ahead, "release_rad": setup.release, "stop_rad": setup.stop}
    passes = reaches(d, friction_m=setup.friction, **where)
    if np.all(passes):
        time = drop_time_with_friction(d, setup.k2, setup.friction, gravity=setup.gravity, **where)
        return time**-2.0
    d, passes, *fields = np.broadcast_arrays(d, passes, *setup)
    inverse = np.zeros(d.shape)
    if np.any(passes):
        inverse[passes] = inverse_square(d[passes], Setup(*fields).only(passes))
    return inverse


def _bounds(setup: Setup) -> tuple[FloatArray, FloatArray]:
    """Heights above which the rig starts at all, and gets to the stop line."""
    _, ahead, release, stop, friction, _ = setup
    starts = (friction + ahead * np.cos(release)) / np.sin(release)
    turns = (ahead * (np.sin(release) - np.sin(stop)) + friction * (release - stop)) / (
        np.cos(stop) - np.cos(release)
    )
    return starts, turns


def lowest_height(setup: Setup) -> tuple[FloatArray, FloatArray]:
    """Height at which the rig just passes, and 1 / T^2 in that limit.

    It must start, which at the limit takes forever, and it must get to the stop line, where it
    turns round at the limit: then T = T0 - c sqrt(d - d0), and two times tell T0.
    """
    starts, turns = _bounds(setup)
    lowest, slowest = np.maximum(starts, turns), np.zeros(starts.shape)
    finite = np.flatnonzero(turns > starts)
    if finite.size:
        part, d0 = setup.only(finite), lowest[finite]
        above = np.minimum(_INSIDE * part.extent, 1e-6 * (turns - starts)[finite])
        first, second = (inverse_square(d0 + step, part) for step in (above, 4.0 * above))
        there = (first > 0.0) & (second > 0.0)
        limit = 2.0 * first[there] ** -0.5 - second[there] ** -0.5
        slowest[finite[there]] = limit**-2.0
    return lowest, slowest


def shortest_height(setup: Setup) -> FloatArray:
    """Height of the shortest drop: where dT/dd is zero."""

    def slope(d: FloatArray, index: IndexArray) -> FloatArray:
        part = setup.only(index)
        return drop_gradient(
            d, part.k2, x_m=part.ahead, release_rad=part.release, stop_rad=part.stop,
            friction_m=part.friction, gravity=part.gravity,
        ).per_d  # fmt: skip

    lowest, _ = lowest_height(setup)
    everywhere = np.arange(lowest.size)
    low, high = lowest + 0.1 * setup.extent, lowest + 4.0 * setup.extent
    while np.any(low_slope := (slope(low, everywhere) >= 0.0)):
        low = np.where(low_slope, lowest + 0.1 * (low - lowest), low)
    while np.any(high_slope := (slope(high, everywhere) <= 0.0)):
        high = np.where(high_slope, lowest + 4.0 * (high - lowest), high)
    values = slope(low, everywhere), slope(high, everywhere)
    return bracketed_root(slope, (low, high), values, lowest + setup.extent)


def _fastest(setup: Setup, wanted: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Height between the roots of a drop time, and 1 / T^2 there.

    Near d = k is good enough unless the time asked for is close to the shortest.
    """
    d = (setup.k2 + setup.ahead**2) ** 0.5
    inverse = inverse_square(d, setup)
    slow = np.flatnonzero(inverse < wanted)
    if slow.size:
        d[slow] = shortest_height(setup.only(slow))
        inverse[slow] = inverse_square(d[slow], setup.only(slow))
    if not np.all(inverse >= wanted * (1.0 - 2.0 * ROUNDING)):
        raise ValueError("no pivot height gives so short a drop")
    return d, np.maximum(inverse, wanted)


def near_root(drop_s: FloatArray, setup: Setup) -> FloatArray:
    """Height below that of the shortest drop which gives a drop time."""
    near, settled = _secant_root(drop_s, setup)
    if np.all(settled):
        return near
    drop_s, setup, shape = flat(drop_s, setup)
    near, hard = np.broadcast_to(near, shape).flatten(), ~np.broadcast_to(settled, shape).ravel()
    near[hard] = _bracketed_near_root(drop_s[hard], setup.only(hard))
    return near.reshape(shape)[()]


def _secant_root(drop_s: FloatArray, setup: Setup) -> tuple[FloatArray, BoolArray]:
    """Near root by the secant method in 1 / T^2, and whether it was found.

    Near neutral an offset and friction act as a shift, so that the slope without them is a good
    first one. A time found on a rising branch below k is the near root; all else is left to the
    bracketed search.
    """
    shortest = _plain_shortest(setup)
    d, _ = closed_roots(np.maximum(drop_s, 1.2 * shortest), setup)
    high = setup.k2**0.5
    low = np.maximum(*_bounds(setup)) + _INSIDE * high
    wanted, i2 = drop_s**-2.0, setup.k2 + d * d
    slope = 2.0 * setup.k2**0.5 / shortest**2 * (setup.k2 - d * d) / i2**2
    miss = inverse_square(d, setup) - wanted
    settled: BoolArray = np.zeros(np.shape(d), dtype=bool)
    for _ in range(_SECANTS):
        last, last_miss = d, miss
        d = np.clip(d - miss / slope, low, high)
        miss = inverse_square(d, setup) - wanted
        moved = (d != last) & (miss != last_miss)
        slope = np.where(moved, (miss - last_miss) / np.where(moved, d - last, 1.0), slope)
        settled = (abs(miss) < _CLOSE * wanted) & (d > low) & (d < high) & (slope > 0.0)
        if np.all(settled):
            break
    return d - miss / slope, settled


def _bracketed_near_root(drop_s: FloatArray, setup: Setup) -> FloatArray:
    wanted = drop_s**-2.0
    high, fastest = _fastest(setup, wanted)
    low, slowest = lowest_height(setup)
    if not np.all(slowest < wanted):
        raise ValueError("no pivot height gives so long a drop: the rig turns round before it")
    plain, _ = closed_roots(np.maximum(drop_s, _plain_shortest(setup)), setup)
    return bracketed_root(
        lambda d, index: inverse_square(d, setup.only(index)) - wanted[index],
        (low, high),
        (slowest - wanted, fastest - wanted),
        np.clip(plain, low + 1e-3 * (high - low), high),
    )


def _plain_shortest(setup: Setup) -> FloatArray:
    shortest: FloatArray = (
        swing_factor(setup.release, setup.stop) * (2.0 * setup.k2**0.5 / setup.gravity) ** 0.5
    )
    return shortest


def far_root(drop_s: FloatArray, setup: Setup) -> FloatArray:
    """Height above that of the shortest drop which gives a drop time; flat arrays only."""
    wanted = drop_s**-2.0
    low, fastest = _fastest(setup, wanted)
    high = 2.0 * closed_roots(np.maximum(drop_s, _plain_shortest(setup)), setup)[1]
    while np.any(early := inverse_square(high, setup) >= wanted):
        high = np.where(early, 2.0 * high, high)
    return bracketed_root(
        lambda d, index: inverse_square(d, setup.only(index)) - wanted[index],
        (low, high),
        (fastest - wanted, inverse_square(high, setup) - wanted),
        0.5 * high,
    )
