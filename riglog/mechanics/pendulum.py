"""The drop: how long a rig laid over and let go takes to its first pass through upright.

Geometry, in the rig's frame with the pivot axis at the origin: the center of gravity lies ``d_m``
below the axis and ``x_m`` forward of it, ``k2_m2`` is the inertia about a parallel axis through
the center of gravity over the mass (the radius of gyration squared; the mass itself cancels).
Lean is positive with the nose down. A rig at lean theta obeys

    (k^2 + d^2 + x^2) theta'' = -g (d sin theta - x cos theta),

it hangs at theta_rest = atan2(x, d), and a drop from the nose-up side is the mirror image: x
changes sign. ``friction.py`` adds a constant torque, ``pivot.py`` goes from times to heights.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import STANDARD_GRAVITY, BoolArray, FloatArray, floats
from riglog.mechanics.elliptic import carlson_rf

HORIZONTAL = np.pi / 2.0


def reaches(
    d_m: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    nose: npt.ArrayLike = 1,
    friction_m: npt.ArrayLike = 0.0,
) -> BoolArray:
    """Whether a rig let go at ``release_rad`` passes the stop line.

    It does not if it is top heavy and falls away, if friction holds it where it is, or if it
    turns round before the line.

    Parameters
    ----------
    d_m, x_m : (...,) array [m]
        Center of gravity below and forward of the pivot axis.
    release_rad, stop_rad : (...,) array [rad]
        Lean at release, positive, and at the stop line, positive on the same side, less than the
        release; less than a full turn apart.
    nose : (...,) array
        1 if released with the nose down, -1 with the nose up.
    friction_m : (...,) array [m]
        Constant torque over weight, positive where it holds the drop back (``friction.py``).

    Returns
    -------
    (...,) array of bool
        False too where an input is no number.
    """
    d_m, release_rad, stop_rad = floats(d_m), floats(release_rad), floats(stop_rad)
    x_m = floats(x_m) * floats(nose)
    turn = d_m * np.sin(release_rad) - x_m * np.cos(release_rad)
    drop = d_m * np.cos(release_rad) + x_m * np.sin(release_rad)
    angle = release_rad - stop_rad
    possible = (angle > 0.0) & (angle < 2.0 * np.pi)
    if np.any(friction_m):
        return possible & _passes_under_torque(turn, drop, floats(friction_m), angle)
    # The work done over an angle delta is 2 M g sin(delta/2) times
    # (turn cos(delta/2) - drop sin(delta/2)), whose sign changes at most once as delta grows.
    half = 0.5 * angle
    passes: BoolArray = (
        possible & (turn > 0.0) & (turn * np.cos(half) > drop * np.sin(half))
    ) | np.zeros(np.shape(friction_m), dtype=bool)
    return passes


def _passes_under_torque(
    turn: FloatArray, drop: FloatArray, friction: FloatArray, angle: FloatArray
) -> BoolArray:
    """Whether the work done stays positive all the way: at the end, and at its one minimum."""

    def work(delta: FloatArray) -> FloatArray:
        half = np.sin(0.5 * delta)
        done: FloatArray = turn * np.sin(delta) - 2.0 * drop * half * half - friction * delta
        return done

    lowest = np.minimum(slowest_angle(turn, drop, friction), angle)
    passes: BoolArray = (turn > friction) & (work(angle) > 0.0) & (work(lowest) > 0.0)
    return passes


def slowest_angle(turn: FloatArray, drop: FloatArray, friction: FloatArray) -> FloatArray:
    """Angle fallen [rad] at which the speed has a minimum on the way, inf if it has none.

    The work done per unit angle, r sin(psi) - f at the lean psi from rest, goes from negative to
    positive where gravity balances the torque upside down.
    """
    r = np.hypot(turn, drop)
    balance = np.arcsin(np.clip(friction / np.maximum(r, 1e-300), -1.0, 1.0))
    release = balance + np.mod(np.arctan2(turn, drop) - balance, 2.0 * np.pi)
    return np.where(abs(friction) < r, release + np.pi + balance, np.inf)


def drop_time(
    d_m: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    nose: npt.ArrayLike = 1,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> FloatArray:
    """Time from release at rest to the first pass through the stop line, free of friction.

    With psi = theta - theta_rest and r = hypot(x, d) it is

        T = sqrt((k^2 + r^2) / (g r)) [K(m) - F(phi1 | m)],
        m = sin^2(psi0 / 2),  sin phi1 = sin(psi1 / 2) / sin(psi0 / 2),

    which for x = 0, from horizontal to upright, is K(1/2) sqrt((k^2 + d^2) / (g d)).

    Parameters
    ----------
    d_m, x_m : (...,) array [m]
        Center of gravity below and forward of the pivot axis.
    k2_m2 : (...,) array [m^2]
        Radius of gyration squared about the center of gravity, not negative.
    release_rad, stop_rad : (...,) array [rad]
        Lean at release, positive, and at the stop line, positive on the same side.
    nose : (...,) array
        1 if released with the nose down, -1 with the nose up.
    gravity : (...,) array [m/s^2]

    Returns
    -------
    (...,) array [s]

    Raises
    ------
    ValueError
        If a rig does not pass the stop line (ask ``reaches`` first), or k2 is negative.

    References
    ----------
    L. D. Landau & E. M. Lifshitz, Mechanics, section 11; DLMF 22.19(i).

    Examples
    --------
    A 17 kg post rig whose pivot stands 4.5 mm above its center of gravity:

    >>> round(float(drop_time(0.0045, 0.34**2)), 2)
    3.0
    """
    d_m, k2_m2, gravity = floats(d_m), floats(k2_m2), floats(gravity)
    x_m, release_rad, stop_rad = floats(x_m) * floats(nose), floats(release_rad), floats(stop_rad)
    passes = reaches(d_m, x_m=x_m, release_rad=release_rad, stop_rad=stop_rad)
    if not np.all(passes & (k2_m2 >= 0.0) & (gravity > 0.0)):
        raise ValueError("this rig does not pass the stop line, or its k2 or gravity is negative")
    psi0_rad = release_rad
    if np.any(x_m) or np.any(d_m < 0.0):
        sine, cosine = np.sin(release_rad), np.cos(release_rad)
        psi0_rad = np.arctan2(d_m * sine - x_m * cosine, d_m * cosine + x_m * sine)
    r = np.hypot(x_m, d_m)
    # On a trimmed rig psi0 is the release: one scalar, one elliptic integral for all heights.
    factor = swing_factor(psi0_rad, psi0_rad - (release_rad - stop_rad))
    time: FloatArray = ((k2_m2 + r * r) / (gravity * r)) ** 0.5 * factor
    return time


def swing_factor(psi0_rad: FloatArray, psi1_rad: FloatArray) -> FloatArray:
    """K(m) - F(phi1 | m): time from rest at psi0 to psi1, in units of sqrt(I / (M g r)).

    Both angles are from where the rig rests, with abs(psi1) < psi0 < pi (not checked). With
    u = sin(psi / 2) and s = sin(psi0 / 2) the time is the integral of
    du / sqrt((1 - u)(1 + u)(s - u)(s + u)), which is one R_F over any range (DLMF 19.29.4), so
    that nothing cancels: neither for a stop line near the release nor for one beyond the rest.
    """
    half0 = 0.5 * psi0_rad
    mid, quarter = 0.25 * (psi0_rad + psi1_rad), 0.25 * (psi0_rad - psi1_rad)
    s, cos2, u = np.sin(half0), np.cos(half0) ** 2, np.sin(0.5 * psi1_rad)
    s_minus_u = 2.0 * np.cos(mid) * np.sin(quarter)
    s_plus_u = 2.0 * np.sin(mid) * np.cos(quarter)
    rf = carlson_rf(
        cos2 * s_plus_u,
        2.0 * s * (1.0 - u) * (1.0 + s),
        2.0 * s * (1.0 + u) * cos2 / (1.0 + s),
    )
    factor: FloatArray = 2.0 * s_minus_u**0.5 * rf
    return factor
