"""The drop under a constant torque at the pivot, and how a drop time changes with everything.

A constant torque enters as a length, ``friction_m`` = torque / (M g), positive where it holds the
drop back. Friction always opposes motion, so within one drop it is such a constant too; it is
taken to be the same at rest and in motion. A payload off balance on a powered head puts a torque
on the frame that has a direction of its own: with tau positive nose down it adds
``nose * tau / (M g)``.

With delta the angle fallen since release, p = d sin(release) - x cos(release) and
q = d cos(release) + x sin(release), the work done so far is M g G(delta),

    G = p sin(delta) - q (1 - cos(delta)) - f delta,
    T = sqrt((k^2 + r^2) / 2g) int d delta / sqrt G.

G vanishes at the release whatever the parameters, so the derivatives of the integral are
integrals with the same singularity, and the same nodes give them.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray, floats
from riglog.mechanics.pendulum import HORIZONTAL, drop_time, reaches, slowest_angle

_COARSEST = 0.32  # node distance of the first rule
_EDGE = 3.9  # the weights beyond are under half an ulp
_HALVINGS = 7
_TINY = 1e-300
_CHUNK = 512  # falls at once, so that the nodes of all stay in the processor's cache
# Halving the node distance about squares the relative error; measured, 1e-9 leaves 1e-12 or less.
_SETTLED = 1e-9


class DropGradient(NamedTuple):
    """A drop time [s] and its derivatives with respect to each thing it depends on, (...,) each.

    ``per_d``, ``per_x`` and ``per_friction`` in s/m, ``per_k2`` in s/m^2, ``per_release`` and
    ``per_stop`` in s/rad.
    """

    time_s: FloatArray
    per_d: FloatArray
    per_k2: FloatArray
    per_x: FloatArray
    per_friction: FloatArray
    per_release: FloatArray
    per_stop: FloatArray


def drop_time_with_friction(
    d_m: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    friction_m: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    nose: npt.ArrayLike = 1,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> FloatArray:
    """Time from release at rest to the stop line under a constant torque.

    Parameters
    ----------
    d_m, x_m : (...,) array [m]
        Center of gravity below and forward of the pivot axis.
    k2_m2 : (...,) array [m^2]
        Radius of gyration squared about the center of gravity.
    friction_m : (...,) array [m]
        Torque over weight, positive where it holds the drop back.
    release_rad, stop_rad : (...,) array [rad]
        Lean at release, positive, and at the stop line, positive on the same side.
    nose : (...,) array
        1 if released with the nose down, -1 with the nose up.
    gravity : (...,) array [m/s^2]

    Returns
    -------
    (...,) array [s]
        To 1e-12 relative, except within 1e-6 of not reaching the stop line at all.

    Raises
    ------
    ValueError
        If a rig does not pass the stop line (ask ``reaches`` first), or k2 is negative.
    """
    friction_m = floats(friction_m)
    where = {"x_m": x_m, "release_rad": release_rad, "stop_rad": stop_rad, "nose": nose}
    if not np.any(friction_m):
        return drop_time(d_m, k2_m2, gravity=gravity, **where) + friction_m  # for its shape
    time: FloatArray = _integrals(
        _fall(d_m, k2_m2, friction_m, gravity=gravity, **where), gradient=False
    )[0]
    return time


def drop_gradient(
    d_m: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    nose: npt.ArrayLike = 1,
    friction_m: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> DropGradient:
    """Drop time and its first derivatives, by differentiating under the integral.

    Parameters are those of ``drop_time_with_friction``. For x = 0 without friction the result is
    dT/dd = T (d / (k^2 + d^2) - 1 / (2 d)) and dT/dk2 = T / (2 (k^2 + d^2)), to rounding.

    Returns
    -------
    DropGradient

    Raises
    ------
    ValueError
        If a rig does not pass the stop line, or k2 is negative.
    """
    d_m, nose = floats(d_m), floats(nose)
    fall = _fall(
        d_m, k2_m2, friction_m,
        x_m=x_m, release_rad=release_rad, stop_rad=stop_rad, nose=nose, gravity=gravity,
    )  # fmt: skip
    total, per_p, per_q, per_f = _integrals(fall, gradient=True)
    sine, cosine, ahead = np.sin(release_rad), np.cos(release_rad), floats(x_m) * nose
    sinc, versine = _over_angle(fall.angle)
    slope = fall.p * sinc - fall.q * versine - fall.friction
    per_angle = fall.scale / (fall.angle * slope) ** 0.5
    return DropGradient(
        time_s=total,
        per_d=total * d_m / fall.i2 + per_p * sine + per_q * cosine,
        per_k2=0.5 * total / fall.i2,
        per_x=nose * (total * ahead / fall.i2 - per_p * cosine + per_q * sine),
        per_friction=per_f,
        per_release=per_p * fall.q - per_q * fall.p + per_angle,
        per_stop=-per_angle,
    )


class _Fall(NamedTuple):
    """A drop in the terms of the work integral; i2 is inertia about the pivot over mass."""

    p: FloatArray
    q: FloatArray
    friction: FloatArray
    angle: FloatArray
    i2: FloatArray
    scale: FloatArray


def _fall(
    d_m: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    friction_m: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike,
    release_rad: npt.ArrayLike,
    stop_rad: npt.ArrayLike,
    nose: npt.ArrayLike,
    gravity: npt.ArrayLike,
) -> _Fall:
    d_m, k2_m2, gravity = floats(d_m), floats(k2_m2), floats(gravity)
    friction_m, release_rad, stop_rad = floats(friction_m), floats(release_rad), floats(stop_rad)
    ahead = floats(x_m) * floats(nose)
    passes = reaches(
        d_m, x_m=ahead, release_rad=release_rad, stop_rad=stop_rad, friction_m=friction_m
    )
    if not np.all(passes & (k2_m2 >= 0.0) & (gravity > 0.0)):
        raise ValueError("this rig does not pass the stop line, or its k2 or gravity is negative")
    i2 = k2_m2 + d_m * d_m + ahead * ahead
    sine, cosine = np.sin(release_rad), np.cos(release_rad)
    return _Fall(
        p=d_m * sine - ahead * cosine,
        q=d_m * cosine + ahead * sine,
        friction=friction_m,
        angle=release_rad - stop_rad,
        i2=i2,
        scale=(i2 / (2.0 * gravity)) ** 0.5,
    )


def _integrals(fall: _Fall, *, gradient: bool) -> FloatArray:
    """Int d delta / sqrt G, times the scale; then its derivatives by p, q and f: (1 or 4, ...)."""
    shape = np.broadcast_shapes(*(np.shape(field) for field in fall))
    rows = np.stack([np.broadcast_to(field, shape).ravel() for field in fall])
    results = [
        _whole_way(_Fall(*rows[:, start : start + _CHUNK, None]), gradient=gradient)
        for start in range(0, rows.shape[1], _CHUNK)
    ]
    integrals: FloatArray = np.concatenate(results, axis=1).reshape((-1, *shape)) * fall.scale
    return integrals


def _whole_way(fall: _Fall, *, gradient: bool) -> FloatArray:
    """Integrals of falls along the first axis of (n, 1) fields, without the scale.

    Where a rig nearly comes to rest on the way, the way is cut there.
    """
    cut = np.minimum(slowest_angle(fall.p, fall.q, fall.friction), fall.angle)
    total = _double_exponential(fall, 0.0 * cut, cut, gradient=gradient)
    again = (cut < fall.angle)[:, 0]
    if np.any(again):
        rest, start = _Fall(*(field[again] for field in fall)), cut[again]
        total[:, again] += _double_exponential(rest, start, rest.angle - start, gradient=gradient)
    return total


def _double_exponential(
    fall: _Fall, start: FloatArray, length: FloatArray, *, gradient: bool
) -> FloatArray:
    """Integrals over part of the way.

    The double exponential rule (H. Takahasi & M. Mori, Publ. RIMS Kyoto 9 (1974) 721-741) takes
    the inverse square root at the release in its stride, and one at the stop line too, which is
    what a rig that barely gets there has.
    """
    distance = _COARSEST
    total: FloatArray = _sums(fall, start, length, 0, gradient=gradient)
    for level in range(1, _HALVINGS + 1):
        coarse = distance * total
        distance *= 0.5
        total = total + _sums(fall, start, length, level, gradient=gradient)
        fine = distance * total
        # The derivative by f, in the last row, is the largest of the three and never zero.
        yardstick = fine[[0, -1, -1, -1][: len(fine)]]
        if np.all(abs(fine - coarse) < _SETTLED * yardstick):
            return np.array(fine)
    raise ValueError("this rig turns round too close to the stop line to time it")


def _sums(
    fall: _Fall, start: FloatArray, length: FloatArray, level: int, *, gradient: bool
) -> FloatArray:
    fraction, weight = _nodes(level)
    delta = start + length * fraction
    sinc, versine = _over_angle(delta)
    # Rounding may take the slope at a turning point below zero; then the rule does not settle.
    slope = np.maximum(fall.p * sinc - fall.q * versine - fall.friction, _TINY)
    terms = length * weight / (delta * slope) ** 0.5
    if not gradient:
        return np.stack([terms.sum(axis=-1)])
    per_slope = -0.5 * terms / slope
    factors = (terms, per_slope * sinc, -per_slope * versine, -per_slope)
    return np.stack([factor.sum(axis=-1) for factor in factors])


def _over_angle(delta: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Sin(delta) / delta and (1 - cos(delta)) / delta, accurate down to the release."""
    half = np.sin(0.5 * delta)
    return np.sin(delta) / delta, 2.0 * half * half / delta


@cache
def _nodes(level: int) -> tuple[FloatArray, FloatArray]:
    """Fractions of the way, and their weights, that are new at a level."""
    distance = _COARSEST * 0.5**level
    last = int(_EDGE / distance)
    steps = np.arange(-last, last + 1)
    t = distance * (steps if level == 0 else steps[steps % 2 == 1])
    stretched = np.pi * np.sinh(t)
    fraction = 1.0 / (1.0 + np.exp(-stretched))
    return fraction, np.pi * np.cosh(t) * fraction / (1.0 + np.exp(stretched))
