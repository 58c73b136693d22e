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
    from riglog.mechanics.mass_properties import Composite

# A rig is long if e is at least this share of j_zz; else it has no long axis to speak of.
_LONG = 0.2


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
    is_long
        Whether the rig is longer than wide, so that a pan tells anything.
    """

    tilts: Tilts
    depth_m: float
    excess_m2: float
    slow_per_m: float
    is_long: bool

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
    depth = float(tree.below_m(positions_m, told.whole.cg_m))
    excess, least = float(inertia[0, 0] - inertia[2, 2]), _LONG * float(inertia[2, 2])
    held = max(excess, least) + depth**2
    slow = STANDARD_GRAVITY / (rate_rad_s**2 * held)
    return Pan(told, depth, held, slow, is_long(told.whole))


def is_long(whole: Composite) -> bool:
    """Whether a body is so much longer than wide that the tilt of its long axis means something."""
    across, upright = whole.inertia_kg_m2[0, 0], whole.inertia_kg_m2[2, 2]
    return bool(across - upright > _LONG * upright)
