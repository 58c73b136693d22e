"""A steady pan: what the lean in it says of trim and of the tilt of the principal axis.

At the rate w, with j = J / M about the pivot and e = j_xx - j_zz, it is

    lean (g d - w^2 e) = g x - w^2 j_xz,

which is used over w^2 e: far above the critical rate the lean is the tilt of the principal axis.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.estimation.products import Tilts, tilts
from riglog.mechanics.arrays import STANDARD_GRAVITY

if TYPE_CHECKING:
    from riglog.estimation.tree import Tree
    from riglog.mechanics.arrays import FloatArray

# A rig that is hardly longer than wide has no principal axis to speak of [m^2].
_LEAST_EXCESS_M2 = 0.001


class Pan(NamedTuple):
    """A build in a pan.

    Attributes
    ----------
    tilts
        The tilt of its principal axis.
    depth_m, excess_m2 : float
        Height of the pivot above the center of gravity, and e.
    slow_per_m : float
        g / (w^2 e).
    """

    tilts: Tilts
    depth_m: float
    excess_m2: float
    slow_per_m: float

    @property
    def share(self) -> float:
        """What gravity decides beside inertia: the square of the critical rate over the rate."""
        return self.slow_per_m * self.depth_m

    @property
    def per_x(self) -> float:
        """What a center of gravity that is forward counts."""
        return self.depth_m / self.excess_m2 - self.slow_per_m


def pan(tree: Tree, theta: FloatArray, positions_m: FloatArray, rate_rad_s: float) -> Pan:
    """A tree with its adjusters at positions (a,) [m], panned at a rate."""
    told = tilts(tree, theta, positions_m)
    inertia = told.whole.inertia_kg_m2 / told.whole.mass_kg
    depth = tree.up * float(positions_m[tree.pivot] - told.whole.cg_m[2])
    excess = max(float(inertia[0, 0] - inertia[2, 2]), _LEAST_EXCESS_M2) + depth**2
    return Pan(told, depth, excess, STANDARD_GRAVITY / (rate_rad_s**2 * excess))
