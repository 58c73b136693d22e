"""One thing that a reading says, held against what is known of it without that reading.

Both are told as the fit has them: of a drop the height of the pivot above the center of gravity
that it tells, of an angle how far the center of gravity lies to that side, of a balance point its
position, of friction its torque over the weight, all [m], and of a weight the weight [kg].
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.forward import balance
from riglog.estimation.heights import height
from riglog.estimation.pan import pan

if TYPE_CHECKING:
    from riglog.estimation.claims import Claim
    from riglog.estimation.interval import Estimate
    from riglog.estimation.stands import Stand
    from riglog.mechanics.arrays import FloatArray


class Held(NamedTuple):
    """A claim and what the others make of it.

    Attributes
    ----------
    told : float
        What the reading says.
    predicted
        What the others say of that.
    noise : float
        Standard deviation of what it says.
    depth_m, gyration_m2 : float
        How far the pivot stands above the center of gravity, and k^2, by the fit; of a pan the
        first is what its lean counts there, without a unit.
    sense : float
        -1 where a greater figure on the watch or scale means less of ``told``.
    """

    claim: Claim
    told: float
    predicted: Estimate
    noise: float
    depth_m: float
    gyration_m2: float
    sense: float

    @property
    def deviations(self) -> float:
        """How many standard deviations the figure read is more than was to be expected."""
        sd = float(np.hypot(self.predicted.standard_deviation, self.noise))
        return self.sense * (self.told - self.predicted.value) / sd


def held(claim: Claim, stand: Stand, theta: FloatArray, off: Estimate, noise: float) -> Held:
    """A claim of a stand, the others' prediction being ``off`` from what it says."""
    tree, positions = stand.tree, stand.positions(theta)
    hangs = balance(tree, theta, positions[None])
    depth = float(tree.below_m(positions, hangs.cg_m[0]))
    k2 = float(hangs.gyration_m2[0])
    scale = tree.scales[tree.pivot].scale
    lever = 1.0 - pan(tree, theta, positions, claim.rate).share if claim.kind == "spin" else 0.0
    told, sense = {
        "drop": (lambda: (float(height(claim.value, claim.factor, k2)), -1.0)),
        "height": (lambda: (scale.position(claim.value), float(scale.sign))),
        "lean": (lambda: (depth * claim.value, 1.0)),
        "side": (lambda: (-tree.up * depth * claim.value, -tree.up)),
        "weight": (lambda: (claim.value, 1.0)),
        "friction": (lambda: (depth * claim.value, 1.0)),
        "spin": (lambda: (lever * claim.value, float(np.sign(lever)))),
    }[claim.kind]()
    if claim.kind == "spin":
        depth = abs(lever)
    return Held(claim, told, off.moved(told), noise, depth, k2, sense)
