"""Products of inertia: the whole tensor of a build, and the tilt of its principal axis as rows.

``forward`` knows the inertia along the tilt axis alone, which is all that a drop asks. In a pan the
products count too: what a rig settles near is the tilt of its principal axis,

    t = atan2(2 I_xz, I_xx - I_zz) / 2,  dt = ((I_xx - I_zz) dI_xz - I_xz d(I_xx - I_zz)) / q,

q = 4 I_xz^2 + (I_xx - I_zz)^2, and the same with y. Everything is in the rig's own frame: in low
mode the world sees I_xz with the other sign.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.mechanics.balance import principal_axis_tilt
from riglog.mechanics.mass_properties import Composite, composite, composite_gradient

if TYPE_CHECKING:
    from riglog.estimation.tree import Tree
    from riglog.mechanics.arrays import FloatArray


# What has no longest axis cannot tilt it.
_BALL = 1e-18


class Tilts(NamedTuple):
    """Tilt of the principal axis out of z, in the x-z and in the y-z plane.

    Attributes
    ----------
    whole
        What swings: mass, center of gravity, tensor about it.
    value : (2,) array [rad]
    to_columns : (2, q) array
        Change per unit of each of the tree's columns.
    to_positions : (2, a) array [rad/m]
        Change per unit of each adjuster's position.
    """

    whole: Composite
    value: FloatArray
    to_columns: FloatArray
    to_positions: FloatArray


def whole(tree: Tree, theta: FloatArray, positions_m: FloatArray) -> Composite:
    """What swings, as one body, for parameters (p,) and adjuster positions (a,) [m]."""
    return composite(*_parts(tree, theta, positions_m))


def tilts(tree: Tree, theta: FloatArray, positions_m: FloatArray) -> Tilts:
    """The tilt of the principal axis, and how it answers to parameters and adjusters."""
    mass, cg, inertia = _parts(tree, theta, positions_m)
    body = composite(mass, cg, inertia)
    gradient = composite_gradient(mass, cg, inertia)
    per_tensor = np.stack([_per_tensor(body.inertia_kg_m2, axis) for axis in (0, 1)])
    per_log_mass = mass[:, None, None] * gradient.inertia_per_mass + inertia
    to_mass, to_inertia = (
        np.einsum("tij,nij->tn", per_tensor, each) for each in (per_log_mass, inertia)
    )
    to_cg = np.einsum("tij,nijk->tnk", per_tensor, gradient.inertia_per_cg)
    to_columns = (
        np.einsum("tnk,nkq->tq", to_cg, tree.shifts)
        + to_mass @ tree.log_mass
        + to_inertia @ tree.log_inertia
    )
    return Tilts(
        body,
        np.array(principal_axis_tilt(body.inertia_kg_m2)),
        to_columns,
        np.einsum("tnk,nak->ta", to_cg, tree.slides),
    )


def _parts(
    tree: Tree, theta: FloatArray, positions_m: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Mass (n,), center of gravity (n, 3) and tensor about it (n, 3, 3) of what swings."""
    local = theta[tree.columns]
    mass = np.exp(tree.log_mass @ local) * tree.tilts
    cg = tree.base + np.einsum("niq,q->ni", tree.shifts, local)
    cg = cg + np.einsum("a,nai->ni", positions_m, tree.slides)
    inertia = (mass * np.exp(tree.log_inertia @ local))[:, None, None] * tree.gyration
    return mass, cg, inertia


def _per_tensor(tensor: FloatArray, axis: int) -> FloatArray:
    """Change of a tilt per unit of each element of the tensor, (3, 3); nil of what is a ball."""
    product, apart = tensor[axis, 2], tensor[axis, axis] - tensor[2, 2]
    size = max(4.0 * product * product + apart * apart, _BALL)
    per = np.zeros((3, 3))
    per[axis, 2] = per[2, axis] = 0.5 * apart / size
    per[axis, axis], per[2, 2] = -product / size, product / size
    return per
