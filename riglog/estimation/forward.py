"""Weight, center of gravity and inertia of a build, and how they answer to the parameters.

Everything a reading says, and everything that can be asked, is to first order a sum

    a . c + b k^2 + e W + f . s

of the center of gravity c, the square of the radius of gyration k^2 about it along the tilt axis,
the whole weight W, and what pulls aside, s (``aside.py``). ``Weights`` holds (a, b, e, f) for k
such sums, and ``gradient`` pulls them back to the parameters in one go. The composite's own center
makes the cross terms of the parallel-axis theorem vanish, which is why its gradient is as short as
it is.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.aside import Asides, aside_gradient, asides

if TYPE_CHECKING:
    from riglog.estimation.tree import Tree
    from riglog.mechanics.arrays import FloatArray

# The tilt axis is y: what counts for the inertia is the distance in x and z.
_ACROSS = np.array([1.0, 0.0, 1.0])


class Balance(NamedTuple):
    """What hangs at each of k adjuster positions; leading axes of theta come first.

    Attributes
    ----------
    part_mass_kg : (..., n) array [kg]
        Zero for what does not tilt.
    all_mass_kg : (..., n) array [kg]
    part_cg_m : (..., k, n, 3) array [m]
    mass_kg : (...) array [kg]
        All that tilts.
    cg_m : (..., k, 3) array [m]
    part_gyration_m2 : (..., n) array [m^2]
        Of each part about its own center, along the tilt axis.
    gyration_m2 : (..., k) array [m^2]
        Of the whole about its center of gravity.
    asides
        What pulls it out of upright beside that; None where nothing does.
    """

    part_mass_kg: FloatArray
    all_mass_kg: FloatArray
    part_cg_m: FloatArray
    mass_kg: FloatArray
    cg_m: FloatArray
    part_gyration_m2: FloatArray
    gyration_m2: FloatArray
    asides: Asides | None

    @property
    def across_m(self) -> FloatArray:
        """Where the center of gravity lies for how it hangs, forward and left, (..., k, 2) [m]."""
        across: FloatArray = self.cg_m[..., :2]
        return across if self.asides is None else across + self.asides.whole_m

    @property
    def weight_kg(self) -> FloatArray:
        """Mass of everything, tilting or not, shape (...)."""
        return np.asarray(self.all_mass_kg.sum(axis=-1))


class Weights(NamedTuple):
    """Coefficients of k sums.

    a (k, 3) of the center, b (k,) of k^2, e (k,) of the weight, f (k, 2) of what pulls aside.
    """

    cg: FloatArray
    gyration: FloatArray
    weight: FloatArray
    aside: FloatArray

    @classmethod
    def none(cls, count: int) -> Weights:
        """Sums of nothing yet."""
        return cls(np.zeros((count, 3)), np.zeros(count), np.zeros(count), np.zeros((count, 2)))


def balance(tree: Tree, theta: FloatArray, positions_m: FloatArray) -> Balance:
    """What hangs, for parameters theta (..., p) and adjuster positions (k, a) [m]."""
    local = theta[..., tree.columns]
    mass = np.exp(local @ tree.log_mass.T)
    tilting = mass * tree.tilts
    total = tilting.sum(axis=-1)
    fixed = tree.base + np.einsum("...q,niq->...ni", local, tree.shifts)
    moved = np.einsum("ka,nai->kni", positions_m, tree.slides)
    cgs = fixed[..., None, :, :] + moved
    center = np.einsum("...n,...kni->...ki", tilting / total[..., None], cgs)
    own = tree.gyration[:, 1, 1] * np.exp(local @ tree.log_inertia.T)
    apart = np.einsum("...kni,i->...kn", np.square(cgs - center[..., None, :]), _ACROSS)
    share = tilting / total[..., None]
    gyration = np.einsum("...n,...kn->...k", share, own[..., None, :] + apart)
    aside = None if tree.aside is None else asides(tree.aside, local, share, positions_m)
    return Balance(tilting, mass, cgs, total, center, own, gyration, aside)


def off_slopes(tree: Tree, hangs: Balance) -> FloatArray:
    """Change per unit of each adjuster of how it hangs off its axis, (3, a).

    The first two rows are of the center of gravity forward and left of the tilt axis, the third of
    how far it lies below.
    """
    share = hangs.part_mass_kg / hangs.mass_kg
    slopes: FloatArray = np.einsum("n,nai->ia", share, tree.slides)
    slopes[:, tree.pivot] -= tree.way
    slopes[2] *= -tree.up
    if tree.aside is not None:
        slopes[:2] += np.einsum("n,nai->ia", share, tree.aside.slides)
    return slopes


def gradient(tree: Tree, hangs: Balance, weights: Weights) -> tuple[FloatArray, FloatArray]:
    """Gradient of k sums to the tree's columns, (k, q), and to its adjusters' positions, (k, a).

    ``hangs`` has no leading axes.
    """
    share = hangs.part_mass_kg / hangs.mass_kg
    from_center = hangs.part_cg_m - hangs.cg_m[:, None, :]
    spread = 2 * weights.gyration[:, None, None] * from_center * _ACROSS
    to_cg = share[:, None] * (weights.cg[:, None, :] + spread)
    apart = hangs.part_gyration_m2 + np.einsum("kni,i->kn", np.square(from_center), _ACROSS)
    to_mass = (
        share
        * (
            np.einsum("kni,ki->kn", from_center, weights.cg)
            + weights.gyration[:, None] * (apart - hangs.gyration_m2[:, None])
        )
        + weights.weight[:, None] * hangs.all_mass_kg
    )
    to_inertia = weights.gyration[:, None] * share * hangs.part_gyration_m2
    to_columns = (
        np.einsum("kni,niq->kq", to_cg, tree.shifts)
        + to_mass @ tree.log_mass
        + to_inertia @ tree.log_inertia
    )
    to_positions = np.einsum("kni,nai->ka", to_cg, tree.slides)
    if tree.aside is not None and hangs.asides is not None:
        of_mass, of_columns, of_positions = aside_gradient(
            tree.aside, hangs.asides, share, weights.aside
        )
        to_columns += of_mass @ tree.log_mass + of_columns
        to_positions += of_positions
    return to_columns, to_positions
