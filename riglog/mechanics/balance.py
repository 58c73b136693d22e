"""How a rig hangs: at rest, within its friction, and in a pan; and how far it is from neutral."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray, floats
from riglog.mechanics.mass_properties import parallel_axis_shift


class Tilt(NamedTuple):
    """Angles (...,) [rad] in the x-z and in the y-z plane."""

    xz_rad: FloatArray
    yz_rad: FloatArray


class PanLean(NamedTuple):
    """How a rig hangs in a pan, (...,) [rad]: lean nose down, side with the right low."""

    lean_rad: FloatArray
    side_rad: FloatArray


def hold_band(d_m: npt.ArrayLike, x_m: npt.ArrayLike, friction_m: npt.ArrayLike) -> FloatArray:
    """Half angle about where it rests, within which friction lets a rig stay put.

    Parameters
    ----------
    d_m, x_m : (...,) array [m]
        Center of gravity below and forward of the pivot axis.
    friction_m : (...,) array [m]
        Friction torque over weight, not negative.

    Returns
    -------
    (...,) array [rad]
        asin(f / r) with r = hypot(x, d); pi where it stays at any lean.

    Raises
    ------
    ValueError
        If a friction is negative.
    """
    friction_m, r = floats(friction_m), np.hypot(floats(x_m), floats(d_m))
    if not np.all(friction_m >= 0.0):
        raise ValueError("friction is not negative")
    anywhere = friction_m >= r
    share = np.where(anywhere, 1.0, friction_m) / np.where(anywhere, 1.0, r)
    return np.where(anywhere, np.pi, np.arcsin(share))[()]


def height_per_travel(carried_kg: npt.ArrayLike, mass_kg: npt.ArrayLike) -> FloatArray:
    """How much a pivot rises over the center of gravity per unit of its travel, 1 - m_c / M.

    What slides along with the pivot, ``carried_kg`` of the swinging ``mass_kg``, takes the
    center of gravity with it.
    """
    return 1.0 - floats(carried_kg) / floats(mass_kg)


def principal_axis_tilt(inertia_kg_m2: npt.ArrayLike) -> Tilt:
    """How far the principal axis nearest to z is tilted out of it, plane by plane.

    Parameters
    ----------
    inertia_kg_m2 : (..., 3, 3) array [kg m^2]
        Tensor about the center of gravity, off-diagonals minus the product integrals.

    Returns
    -------
    Tilt
        atan2(2 I_xz, I_xx - I_zz) / 2, positive where the upper end points backward (-x), and
        atan2(2 I_yz, I_yy - I_zz) / 2, positive where it points to the right (-y); each as if
        the other were nil. In a fast pan the rig settles near a lean of the first (nose down)
        and a side of minus the second.

    References
    ----------
    The couple unbalance of ISO 21940-1.
    """
    tensor = floats(inertia_kg_m2)
    return Tilt(_half_angle(tensor, 0), _half_angle(tensor, 1))


def _half_angle(tensor: FloatArray, axis: int) -> FloatArray:
    product, difference = tensor[..., axis, 2], tensor[..., axis, axis] - tensor[..., 2, 2]
    angle: FloatArray = 0.5 * np.arctan2(2.0 * product, difference)
    return angle


def critical_pan_rate(
    mass_kg: npt.ArrayLike,
    d_m: npt.ArrayLike,
    inertia_across_kg_m2: npt.ArrayLike,
    inertia_upright_kg_m2: npt.ArrayLike,
    *,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> FloatArray:
    """Pan rate above which inertia and no longer gravity decides how the rig leans.

    Parameters
    ----------
    mass_kg : (...,) array [kg]
    d_m : (...,) array [m]
        Center of gravity below the pivot axis, positive.
    inertia_across_kg_m2, inertia_upright_kg_m2 : (...,) array [kg m^2]
        I_xx (or I_yy, for the side) and I_zz. Near neutral it makes no difference whether they
        are about the center of gravity or the pivot.
    gravity : (...,) array [m/s^2]

    Returns
    -------
    (...,) array [rad/s]
        sqrt(M g d / (I_xx - I_zz)).

    Raises
    ------
    ValueError
        If the rig is top heavy, or not longer than wide: then there is no such rate.
    """
    excess = floats(inertia_across_kg_m2) - floats(inertia_upright_kg_m2)
    restoring = floats(mass_kg) * floats(gravity) * floats(d_m)
    if not np.all((excess > 0.0) & (restoring > 0.0)):
        raise ValueError("only a bottom-heavy rig that is longer than wide has a critical pan rate")
    rate: FloatArray = (restoring / excess) ** 0.5
    return rate


def pan_lean(
    rate_rad_s: npt.ArrayLike,
    mass_kg: npt.ArrayLike,
    cg_m: npt.ArrayLike,
    inertia_kg_m2: npt.ArrayLike,
    *,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> PanLean:
    """Lean and side of a rig in a steady pan about the vertical through its pivot.

    To first order in the angles, with the tensor J about the *pivot* and the center of gravity
    at (x, y, -d),

        lean = (M g x - w^2 J_xz) / (M g d - w^2 (J_xx - J_zz)),
        side = -(M g y - w^2 J_yz) / (M g d - w^2 (J_yy - J_zz)).

    The naive w^2 J_xz / (M g d) leaves out the second term below, which takes over at the
    critical pan rate: there the lean grows without bound, above it it has the other sign and
    tends to the tilt of the principal axis. Angles beyond 0.3 rad only say "a lot".

    Parameters
    ----------
    rate_rad_s : (...,) array [rad/s]
    mass_kg : (...,) array [kg]
    cg_m : (..., 3) array [m]
        Center of gravity from the pivot, in the rig's axes.
    inertia_kg_m2 : (..., 3, 3) array [kg m^2]
        Tensor about the center of gravity.
    gravity : (...,) array [m/s^2]

    Raises
    ------
    ValueError
        At the critical pan rate itself.
    """
    mass_kg, cg_m = floats(mass_kg), floats(cg_m)
    weight, square = mass_kg * floats(gravity), floats(rate_rad_s) ** 2
    about_pivot = floats(inertia_kg_m2) + parallel_axis_shift(mass_kg, cg_m)
    angles = []
    for axis in (0, 1):
        excess = about_pivot[..., axis, axis] - about_pivot[..., 2, 2]
        stiffness = -weight * cg_m[..., 2] - square * excess
        if not np.all(stiffness != 0.0):
            raise ValueError("at the critical pan rate there is no steady lean")
        turning = weight * cg_m[..., axis] - square * about_pivot[..., axis, 2]
        angles.append(turning / stiffness)
    return PanLean(angles[0], -angles[1])
