"""How a stand hangs by one guess at the parameters, and nothing of how sure that is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.estimation.forward import Balance, balance, off_slopes
from riglog.estimation.heights import FRICTION_SHIFT, FROM_HORIZONTAL
from riglog.estimation.settle import Settled, settle
from riglog.estimation.stands import Stand, Stands
from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.kit import Hung, Kit
    from riglog.estimation.parameters import Parameters
    from riglog.estimation.tree import Tree


class Guess:
    """One stand with ``theta`` (p,) for its parameters."""

    def __init__(self, hung: Hung, stand: Stand, theta: FloatArray) -> None:
        self.hung = hung
        self.stand = stand
        self.tree: Tree = stand.tree
        self.theta = theta
        self.positions_m = stand.positions(theta)
        self.hangs = self.at(self.positions_m)

    def at(self, positions_m: FloatArray) -> Balance:
        """What hangs with the adjusters at these positions (a,) [m]."""
        return self.at_all(positions_m[None])

    def at_all(self, positions_m: FloatArray) -> Balance:
        """The same at k sets of positions (k, a)."""
        return balance(self.tree, self.theta, positions_m)

    def settle(
        self, free: Sequence[int], wanted_s: float | None, start_m: FloatArray | None = None
    ) -> Settled:
        """Where the free adjusters go for the wanted drop time from horizontal; None: upright.

        The others stay at ``start_m`` (a,), or else where the scales say.
        """
        wanted = None if wanted_s is None else (wanted_s, FROM_HORIZONTAL)
        start = self.stand.positions_m if start_m is None else start_m
        return settle(self.tree, self.theta, start, free, wanted)

    def depth_m(self, positions_m: FloatArray, hangs: Balance) -> float:
        """Pivot above the center of gravity as a drop tells it, less what friction hides [m]."""
        above = self.tree.below_m(positions_m, hangs.cg_m[0])
        hidden = float(self.theta[self.tree.friction]) * self.friction_m_per_n_m(hangs)
        return float(above - hidden)

    def depth_per_m(self, index: int) -> float:
        """Change of how far the axis stands above the center of gravity per unit of an adjuster.

        Of an upright pivot that is 1 - m_c / M in high mode, with the mass m_c that it carries.
        """
        tree, share = self.tree, self.hangs.part_mass_kg / self.hangs.mass_kg
        axis = float(tree.way[2]) if index == tree.pivot else 0.0
        return tree.up * (axis - float(share @ tree.slides[:, index, 2]))

    def forward_per_m(self, index: int) -> float:
        """Change of the center of gravity forward of the axis per unit of an adjuster."""
        return float(off_slopes(self.tree, self.hangs)[0, index])

    def step_m(self, index: int) -> float:
        """What one step of the scale of what sets the drop does to that depth [m].

        What a pivot carries along is left out.
        """
        tree = self.tree
        per_m = float(tree.way[2]) if index == tree.pivot else abs(self.depth_per_m(index))
        return tree.scales[index].step * per_m

    def friction_m_per_n_m(self, hangs: Balance) -> float:
        """Height that a unit of friction torque at the pivot hides from a drop."""
        return FRICTION_SHIFT / (STANDARD_GRAVITY * float(hangs.mass_kg))


def as_if(kit: Kit, hung: Hung, told: Parameters, theta: FloatArray) -> Guess:
    """A build as it would hang if a thing were as this kit has it, and all else as it is.

    Parameters
    ----------
    kit
        The kit with the thing as it would be; its readings are not asked.
    told, theta : (p,) array
        Parameters by the kit as it is, and the best guess at them. What the guess found beyond
        their priors stays.

    Raises
    ------
    KeyError
        If a part sits on a mount that the thing would not have.
    """
    from riglog.estimation.parameters import Parameters

    parameters = Parameters(kit)
    stand = Stands(parameters).stand(hung)
    return Guess(hung, stand, parameters.carried(told, theta))
