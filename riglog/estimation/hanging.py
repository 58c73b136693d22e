"""One stand that is asked about: what hangs there, where its adjusters go, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from riglog.estimation.forward import Balance, Weights
from riglog.estimation.guess import Guess
from riglog.estimation.heights import FROM_HORIZONTAL, height_slopes
from riglog.estimation.rows import Rows, add_tilt, pull_back
from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray

if TYPE_CHECKING:
    from riglog.estimation.inference import Inference
    from riglog.estimation.interval import Estimate, Plane
    from riglog.estimation.kit import Hung
    from riglog.estimation.products import Tilts
    from riglog.estimation.settle import Settled
    from riglog.estimation.stands import Stand

Indices = Sequence[int] | npt.NDArray[np.intp]


class Hanging(Guess):
    """One stand that is asked about: how it hangs by the best fit, and how sure that is."""

    def __init__(self, inference: Inference, hung: Hung, stand: Stand) -> None:
        super().__init__(hung, stand, inference.theta)
        self.inference = inference

    def settings(self, settled: Settled, wanted_s: float | None) -> list[Estimate]:
        """True positions of the free adjusters, without the error of setting them.

        With ``wanted_s`` None that of what moves along z is the one at neutral.
        """
        rows = self.setting_rows(settled, wanted_s)
        return self.inference.estimates(settled.positions_m[settled.moved], rows)

    def setting_rows(self, settled: Settled, wanted_s: float | None) -> Rows:
        """Rows of the free adjusters' positions."""
        hangs, tree, response = settled.hangs, self.tree, settled.response
        per_k2 = 0.0
        if wanted_s is not None:
            k2 = float(hangs.gyration_m2[0])
            per_k2 = float(height_slopes(wanted_s, FROM_HORIZONTAL, k2)[1])
        # Errors of fore-aft, side and depth, each per unit of the center, k^2 and friction.
        weights = Weights(
            response @ np.diag([1.0, 1.0, -tree.up]),
            -per_k2 * response[:, 2],
            np.zeros(len(response)),
            response[:, :2],
        )
        friction = -self.friction_m_per_n_m(hangs) * response[:, 2]
        return self._rows(hangs, weights, friction, settled.moved)

    def move(self, lift: int, wanted_s: float) -> Estimate:
        """Change of what sets the drop from where it truly stands to the wanted drop time.

        Both ends are of one center of gravity: what the scale says enters only by other marks.
        """
        settled = self.settle([lift], wanted_s, self.positions_m)
        rows = self.setting_rows(settled, wanted_s)
        rows.jacobian[:, self.stand.settings[lift]] -= 1.0
        change = settled.positions_m[[lift]] - self.positions_m[[lift]]
        return self.inference.estimates(change, rows)[0]

    def neutral(self, settled: Settled, lift: int) -> Estimate:
        """True position of what sets the drop at which this build, trimmed, is neutral."""
        index = int(np.flatnonzero(settled.moved == lift)[0])
        at_neutral = self.settings(settled, None)[index]
        depth = self.depth_m(settled.positions_m, settled.hangs)
        return at_neutral.moved(float(settled.response[index, 2]) * depth)

    def depth(self, positions_m: FloatArray | None = None, exact: Indices = ()) -> Estimate:
        """That depth, scaled to the best fit's k^2, so that it maps to a drop time by itself.

        ``exact`` lists adjusters whose setting error is left out: those set anew.
        """
        positions = self.positions_m if positions_m is None else positions_m
        depth = self.depth_m(positions, self.at(positions))
        return self.inference.estimates(np.full(1, depth), self.depth_rows(positions, exact))[0]

    def depth_rows(self, positions_m: FloatArray, exact: Indices = ()) -> Rows:
        """Row of that depth."""
        hangs = self.at(positions_m)
        depth = self.depth_m(positions_m, hangs)
        weights = Weights.none(1)
        weights.cg[0, 2], weights.gyration[0] = -self.tree.up, -depth / hangs.gyration_m2[0]
        friction = np.full(1, -self.friction_m_per_n_m(hangs))
        return self._rows(hangs, weights, friction, exact)

    def lean(self) -> Plane:
        """Center of gravity forward of and below the pivot where it stands [m]."""
        return self._off(np.array([1.0, 0.0]))

    def side(self) -> Plane:
        """Center of gravity to the right, as the world has it, of and below the pivot [m]."""
        return self._off(np.array([0.0, -self.tree.up]))

    def _off(self, way: FloatArray) -> Plane:
        """Center of gravity off the pivot along a way in rig axes (2,), and below it."""
        hangs, tree = self.hangs, self.tree
        across = (hangs.across_m[0] - tree.axis_m(self.theta, self.positions_m)[:2]) @ way
        below = tree.below_m(self.positions_m, hangs.cg_m[0])
        weights = Weights.none(2)
        weights.cg[0, :2] = weights.aside[0] = way
        weights.cg[1, 2] = -tree.up
        rows = self._rows(hangs, weights, np.zeros(2))
        return self.inference.plane(np.array([across, below]), rows)

    def tilt_rows(self, positions_m: FloatArray, exact: Indices = ()) -> tuple[Tilts, Rows]:
        """Tilt of the principal axis in the x-z and the y-z plane, and its rows."""
        from riglog.estimation.products import tilts  # seldom needed

        told = tilts(self.tree, self.theta, positions_m)
        settings = self.stand.settings.copy()
        settings[list(exact)] = len(self.inference.parameters)
        jacobian = np.zeros((2, len(self.inference.parameters)))
        for axis, row in enumerate(jacobian):
            add_tilt(row, self.tree, settings, told.to_columns[axis], told.to_positions[axis])
        return told, Rows(jacobian, np.zeros((2, 3)), (self.stand.seats,) * 2)

    def across_rows(self, positions_m: FloatArray, exact: Indices = ()) -> Rows:
        """Rows of the center of gravity off the tilt axis along x and y."""
        weights = Weights.none(2)
        weights.cg[:, :2] = weights.aside[:] = np.eye(2)
        return self._rows(self.at(positions_m), weights, np.zeros(2), exact)

    def log_gyration(self) -> Estimate:
        """Logarithm of k^2 [log m^2], about the center of gravity along the tilt axis."""
        k2 = self.hangs.gyration_m2
        weights = Weights.none(1)
        weights.gyration[:] = 1 / k2
        rows = self._rows(self.hangs, weights, np.zeros(1))
        return self.inference.estimates(np.log(k2), rows)[0]

    def weight(self) -> Estimate:
        """Mass of all that hangs or rides along [kg]."""
        weights = Weights.none(1)
        weights.weight[:] = 1.0
        rows = self._rows(self.hangs, weights, np.zeros(1))
        return self.inference.estimates(np.array([self.hangs.weight_kg]), rows)[0]

    def trim(self) -> list[Estimate]:
        """Center of gravity off the axis that the rig pans about, forward and to the left [m].

        That is what a lean tells of the rig itself, whatever its gimbal does.
        """
        weights = Weights.none(2)
        weights.cg[:, :2] = weights.aside[:] = np.eye(2)
        value = self.hangs.across_m[0] - self.tree.pan_axis_m(self.positions_m)[:2]
        rows = self._rows(self.hangs, weights, np.zeros(2), centering=np.zeros((2, 2)))
        return self.inference.estimates(value, rows)

    def centering(self) -> list[Estimate]:
        """Tilt axis of the gimbal off the axis that it pans about [m]; empty where none is told."""
        if not self.tree.centering:
            return []
        rows = self._rows(self.hangs, Weights.none(2), np.zeros(2), centering=np.eye(2))
        return self.inference.estimates(self.theta[list(self.tree.centering)], rows)

    def friction(self) -> Estimate:
        """Friction torque at the pivot [N m]."""
        column = self.tree.friction
        jacobian = np.zeros((1, len(self.inference.parameters)))
        jacobian[0, column] = 1.0
        rows = Rows(jacobian, np.zeros((1, 3)), (self.stand.seats,))
        return self.inference.estimates(self.theta[[column]], rows)[0]

    def hold(self) -> Plane:
        """Friction over weight, and how far the center of gravity is below the pivot [m]."""
        hangs = self.hangs
        per_n_m = 1 / (STANDARD_GRAVITY * float(hangs.mass_kg))
        below = self.tree.below_m(self.positions_m, hangs.cg_m[0])
        weights = Weights.none(2)
        weights.cg[1, 2] = -self.tree.up
        rows = self._rows(hangs, weights, np.array([per_n_m, 0.0]))
        friction = float(self.theta[self.tree.friction]) * per_n_m
        return self.inference.plane(np.array([friction, below]), rows)

    def _rows(
        self,
        hangs: Balance,
        weights: Weights,
        friction: FloatArray,
        exact: Indices = (),
        centering: FloatArray | None = None,
    ) -> Rows:
        """Rows of l sums at this stand; the setting errors of ``exact`` adjusters are left out."""
        count, parameters = len(friction), self.inference.parameters
        settings = np.tile(self.stand.settings, (count, 1))
        settings[:, list(exact)] = len(parameters)
        jacobian = pull_back(
            parameters, self.tree, hangs, weights, settings, friction, centering=centering
        )
        return Rows(jacobian, weights.cg, (self.stand.seats,) * count)
