"""What a drop time means in the hands: forces, falls, and what walking does to the rig."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray, floats
from riglog.mechanics.friction import drop_time_with_friction
from riglog.mechanics.pendulum import drop_time

# Less is no acceleration at all [rad].
_STILL = 1e-9
# A swing of a few radians halved so often leaves a millionth of one.
_HALVINGS = 24


def hold_torque(
    mass_kg: npt.ArrayLike,
    d_m: npt.ArrayLike,
    tilt_rad: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    friction_m: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> FloatArray:
    """Least torque of the hand that holds a tilt, positive where it must push the nose down.

    Parameters
    ----------
    mass_kg : (...,) array [kg]
    d_m, x_m : (...,) array [m]
        Center of gravity below and forward of the pivot axis.
    tilt_rad : (...,) array [rad]
        From upright, positive with the nose down.
    friction_m : (...,) array [m]
        Friction torque over weight; it takes its share, within the hold band all of it.
    gravity : (...,) array [m/s^2]

    Returns
    -------
    (...,) array [N m]
        M g (d sin(tilt) - x cos(tilt)), less friction.
    """
    tilt_rad = floats(tilt_rad)
    arm = floats(d_m) * np.sin(tilt_rad) - floats(x_m) * np.cos(tilt_rad)
    left = np.sign(arm) * np.maximum(abs(arm) - floats(friction_m), 0.0)
    torque: FloatArray = floats(mass_kg) * floats(gravity) * left
    return torque


def hold_force(torque_n_m: npt.ArrayLike, grip_m: npt.ArrayLike) -> FloatArray:
    """Force [N], square to the post, of a hand at a distance [m] from the pivot.

    Raises
    ------
    ValueError
        If the distance is not positive.
    """
    grip_m = floats(grip_m)
    if not np.all(grip_m > 0.0):
        raise ValueError("a grip on the pivot holds nothing")
    return floats(torque_n_m) / grip_m


def fall_time(
    d_m: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    *,
    from_rad: npt.ArrayLike,
    to_rad: npt.ArrayLike,
    x_m: npt.ArrayLike = 0.0,
    friction_m: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> FloatArray:
    """Time hands off from rest at one tilt to the first pass through another.

    A top-heavy rig falls outward, so ``to_rad`` may be the larger tilt.

    Parameters
    ----------
    d_m, x_m : (...,) array [m]
        Center of gravity below and forward of the pivot axis.
    k2_m2 : (...,) array [m^2]
        Radius of gyration squared about the center of gravity.
    from_rad, to_rad : (...,) array [rad]
        Tilts from upright, positive with the nose down.
    friction_m : (...,) array [m]
        Friction torque over weight.
    gravity : (...,) array [m/s^2]

    Returns
    -------
    (...,) array [s]

    Raises
    ------
    ValueError
        If it does not fall that way or does not get there.
    """
    from_rad, to_rad = floats(from_rad), floats(to_rad)
    way = np.where(from_rad > to_rad, 1.0, -1.0)[()]
    return drop_time_with_friction(
        d_m, k2_m2, friction_m,
        x_m=x_m, release_rad=way * from_rad, stop_rad=way * to_rad, nose=way, gravity=gravity,
    )  # fmt: skip


def swing_from_step(
    d_m: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    step_m_s: npt.ArrayLike,
    *,
    x_m: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> FloatArray:
    """Peak angle from rest when the pivot suddenly gains or loses speed along x.

    The step turns the rig at v r / (k^2 + r^2); without friction it rises to

        sin^2(peak / 2) = v^2 r / (4 g (k^2 + r^2)),

    which is what any start or stop much shorter than a swing does at most. Near neutral it falls
    with the height: a long drop time hardly swings.

    Parameters
    ----------
    d_m, x_m : (...,) array [m]
        Center of gravity below and forward of the pivot axis; it hangs at rest before.
    k2_m2 : (...,) array [m^2]
        Radius of gyration squared about the center of gravity.
    step_m_s : (...,) array [m/s]
    gravity : (...,) array [m/s^2]

    Returns
    -------
    (...,) array [rad]
        Not negative; pi where it turns right over.

    Raises
    ------
    ValueError
        If the rig is top heavy: then it does not hang, whatever the walker does.
    """
    d_m, gravity = floats(d_m), floats(gravity)
    if not np.all(d_m > 0.0):
        raise ValueError("a top-heavy rig does not hang at rest")
    r = np.hypot(floats(x_m), d_m)
    square = floats(step_m_s) ** 2 * r / (4.0 * gravity * (floats(k2_m2) + r * r))
    peak: FloatArray = 2.0 * np.arcsin(np.minimum(square, 1.0) ** 0.5)
    return peak


def swing_from_acceleration(
    acceleration_m_s2: npt.ArrayLike, *, gravity: npt.ArrayLike = STANDARD_GRAVITY
) -> FloatArray:
    """Peak angle from rest (...,) [rad] under an acceleration of the pivot that sets in and holds.

    Down is then where the sum of gravity and inertia points, atan(a / g) away; the rig swings
    about that, so to twice as far. Drop time and mass do not matter, only how long it takes to
    get there.
    """
    peak: FloatArray = 2.0 * np.arctan(abs(floats(acceleration_m_s2)) / floats(gravity))
    return peak


def swing_during_acceleration(
    d_m: npt.ArrayLike,
    k2_m2: npt.ArrayLike,
    acceleration_m_s2: npt.ArrayLike,
    time_s: npt.ArrayLike,
    *,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> FloatArray:
    """Greatest angle from upright while an acceleration of the pivot holds, and no longer.

    It swings about atan(a / g) under hypot(a, g), from rest at upright; what it reaches in the
    time is found by halving, since the time to an angle is known in closed form. A long drop time
    hardly gets under way. ``swing_from_acceleration`` is the most that it comes to.

    Parameters
    ----------
    d_m : (...,) array [m]
        Center of gravity below the pivot axis, positive: trimmed, and bottom heavy.
    k2_m2 : (...,) array [m^2]
        Radius of gyration squared about the center of gravity.
    acceleration_m_s2, time_s : (...,) array [m/s^2], [s]
        The time is positive.
    gravity : (...,) array [m/s^2]

    Returns
    -------
    (...,) array [rad]

    Raises
    ------
    ValueError
        If the rig is top heavy, or the time not positive.
    """
    d_m, k2_m2, pull, time_s = map(floats, (d_m, k2_m2, abs(floats(acceleration_m_s2)), time_s))
    if not np.all((d_m > 0.0) & (time_s > 0.0)):
        raise ValueError("only a bottom-heavy rig hangs, and time does not run back")
    rest = np.maximum(np.arctan2(pull, floats(gravity)), _STILL)
    down = np.hypot(pull, floats(gravity))
    low = np.zeros(np.broadcast_shapes(d_m.shape, k2_m2.shape, rest.shape, time_s.shape))
    high = 2.0 * rest + low
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        there = drop_time(d_m, k2_m2, release_rad=rest, stop_rad=rest - middle, gravity=down)
        low, high = np.where(there < time_s, middle, low), np.where(there < time_s, high, middle)
    return np.where(pull > 0.0, 0.5 * (low + high), 0.0)[()]
