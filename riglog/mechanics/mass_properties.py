"""Mass, center of gravity and inertia tensor of parts, and of parts put together.

A tensor's off-diagonal elements are *minus* the integrals of x y dm, x z dm, y z dm, so that it
turns like any other tensor. Every tensor is about a center of gravity unless its name says
otherwise.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import FloatArray, floats

Shape = Literal["box", "cylinder-x", "cylinder-y", "cylinder-z", "sphere", "point"]
Axis = Literal["x", "y", "z"]

_ALONG, _ROUND, _BALL = 1.0 / 12.0, 1.0 / 16.0, 1.0 / 20.0
# Mean square distance from the middle, along x, y, z, over the size squared.
_SPREAD: dict[str, tuple[float, float, float]] = {
    "box": (_ALONG, _ALONG, _ALONG),
    "cylinder-x": (_ALONG, _ROUND, _ROUND),
    "cylinder-y": (_ROUND, _ALONG, _ROUND),
    "cylinder-z": (_ROUND, _ROUND, _ALONG),
    "sphere": (_BALL, _BALL, _BALL),
    "point": (0.0, 0.0, 0.0),
}
_AXES = {"x": 0, "y": 1, "z": 2}
_UNIT = np.eye(3)


class Composite(NamedTuple):
    """Parts taken as one rigid body: total mass, center of gravity, tensor about it."""

    mass_kg: FloatArray
    cg_m: FloatArray
    inertia_kg_m2: FloatArray


class CompositeGradient(NamedTuple):
    """How a composite changes with part i, whose center of gravity is s_i from that of all.

    Attributes
    ----------
    cg_per_mass : (..., n, 3) array [m/kg]
        s_i / M.
    cg_per_cg : (..., n) array
        m_i / M, the same along every axis.
    inertia_per_mass : (..., n, 3, 3) array [m^2]
        |s_i|^2 1 - s_i s_i^T, the part's own tensor held fixed.
    inertia_per_cg : (..., n, 3, 3, 3) array [kg m]
        Last axis is the direction e of the move: m_i (2 s_e 1 - e s_i^T - s_i e^T).
    inertia_per_log_scale : (..., n, 3, 3) array [kg m^2]
        Per unit of the logarithm of a factor on the part's own tensor: that tensor.
    """

    cg_per_mass: FloatArray
    cg_per_cg: FloatArray
    inertia_per_mass: FloatArray
    inertia_per_cg: FloatArray
    inertia_per_log_scale: FloatArray


def shape_inertia(shape: Shape, size_m: npt.ArrayLike, mass_kg: npt.ArrayLike) -> FloatArray:
    """Tensor about its own center of a solid of even density.

    Parameters
    ----------
    shape
        A cylinder's letter is its axis; a cylinder or sphere with unequal sizes is elliptical.
    size_m : (..., 3) array [m]
        Overall: fore-aft, across, tall.
    mass_kg : (...,) array [kg]

    Returns
    -------
    (..., 3, 3) array [kg m^2]

    Raises
    ------
    ValueError
        If the shape is unknown.

    References
    ----------
    F. P. Beer & E. R. Johnston, Vector Mechanics for Engineers, table of mass moments of inertia.
    """
    if shape not in _SPREAD:
        raise ValueError(f"no shape is called {shape!r}")
    spread = floats(size_m) ** 2 * np.array(_SPREAD[shape])
    moments = floats(mass_kg)[..., None] * (spread.sum(axis=-1, keepdims=True) - spread)
    tensor: FloatArray = moments[..., None] * _UNIT
    return tensor


def tensor_of_six(elements: npt.ArrayLike) -> FloatArray:
    """Tensor (..., 3, 3) from its elements (..., 6), in the order xx, yy, zz, xy, xz, yz."""
    six = floats(elements)
    return six[..., [[0, 3, 4], [3, 1, 5], [4, 5, 2]]]


def rotation(axis: Axis, angle_rad: npt.ArrayLike) -> FloatArray:
    """Matrix (..., 3, 3) that turns vectors right-handed about an axis by an angle [rad]."""
    angle_rad = floats(angle_rad)
    first, second = (_AXES[axis] + 1) % 3, (_AXES[axis] + 2) % 3
    matrix = np.zeros((*np.shape(angle_rad), 3, 3))
    matrix[..., _AXES[axis], _AXES[axis]] = 1.0
    matrix[..., first, first] = matrix[..., second, second] = np.cos(angle_rad)
    matrix[..., second, first] = np.sin(angle_rad)
    matrix[..., first, second] = -matrix[..., second, first]
    return matrix


def rotate_tensor(turn: FloatArray, inertia_kg_m2: npt.ArrayLike) -> FloatArray:
    """Tensor R I R^T (..., 3, 3) of a body that was turned by R, in the axes it was turned in."""
    rotated: FloatArray = turn @ floats(inertia_kg_m2) @ np.swapaxes(turn, -1, -2)
    return rotated


def parallel_axis_shift(mass_kg: npt.ArrayLike, offset_m: npt.ArrayLike) -> FloatArray:
    """Gain of a tensor that is taken about a point ``offset_m`` from the center of gravity.

    Parameters
    ----------
    mass_kg : (...,) array [kg]
    offset_m : (..., 3) array [m]

    Returns
    -------
    (..., 3, 3) array [kg m^2]
        m (|s|^2 1 - s s^T).
    """
    s = floats(offset_m)
    square = np.sum(s * s, axis=-1)[..., None, None]
    shift: FloatArray = floats(mass_kg)[..., None, None] * (
        square * _UNIT - s[..., :, None] * s[..., None, :]
    )
    return shift


def composite(
    mass_kg: npt.ArrayLike, cg_m: npt.ArrayLike, inertia_kg_m2: npt.ArrayLike
) -> Composite:
    """Parts taken as one rigid body, by the parallel-axis theorem.

    Parameters
    ----------
    mass_kg : (..., n) array [kg]
        A negative mass takes a part out again.
    cg_m : (..., n, 3) array [m]
    inertia_kg_m2 : (..., n, 3, 3) array [kg m^2]
        Each about its part's own center of gravity, all in the same axes.

    Returns
    -------
    Composite
        Mass (...,) [kg], center of gravity (..., 3) [m], tensor about it (..., 3, 3) [kg m^2].

    Raises
    ------
    ValueError
        If a total mass is not positive.
    """
    mass_kg, cg_m = floats(mass_kg), floats(cg_m)
    total = np.sum(mass_kg, axis=-1)
    if not np.all(total > 0.0):
        raise ValueError("the total mass of the parts must be positive")
    center = np.sum(mass_kg[..., None] * cg_m, axis=-2) / total[..., None]
    shift = parallel_axis_shift(mass_kg, cg_m - center[..., None, :])
    return Composite(total, center, np.sum(floats(inertia_kg_m2) + shift, axis=-3))


def composite_gradient(
    mass_kg: npt.ArrayLike, cg_m: npt.ArrayLike, inertia_kg_m2: npt.ArrayLike
) -> CompositeGradient:
    """First derivatives of ``composite`` with respect to each part; the total's are all 1.

    Moving the common center of gravity changes nothing at first order, because the mass-weighted
    distances from it sum to zero: each part enters by itself.

    Parameters
    ----------
    mass_kg : (..., n) array [kg]
    cg_m : (..., n, 3) array [m]
    inertia_kg_m2 : (..., n, 3, 3) array [kg m^2]
    """
    mass_kg, inertia_kg_m2 = floats(mass_kg), floats(inertia_kg_m2)
    total, center, _ = composite(mass_kg, cg_m, inertia_kg_m2)
    s = floats(cg_m) - center[..., None, :]
    weighted = mass_kg[..., None] * s
    # outer[..., a, b, e] = s_a delta_be
    outer = weighted[..., :, None, None] * _UNIT
    return CompositeGradient(
        cg_per_mass=s / total[..., None, None],
        cg_per_cg=mass_kg / total[..., None],
        inertia_per_mass=parallel_axis_shift(1.0, s),
        inertia_per_cg=2.0 * weighted[..., None, None, :] * _UNIT[:, :, None]
        - outer
        - np.swapaxes(outer, -3, -2),
        inertia_per_log_scale=inertia_kg_m2,
    )
