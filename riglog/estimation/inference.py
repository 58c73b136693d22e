"""The front door: a kit and the stands asked about in, estimates out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from riglog.estimation.evidence import best_first
from riglog.estimation.forward import Balance, Weights, balance
from riglog.estimation.heights import FRICTION_SHIFT, height_slopes
from riglog.estimation.interval import Estimate, Plane, estimate
from riglog.estimation.kept_out import kept_out_by
from riglog.estimation.observations import Observations
from riglog.estimation.parameters import Parameters
from riglog.estimation.posterior import Posterior, fit
from riglog.estimation.rows import Rows, add_tilt, pull_back
from riglog.estimation.settle import Settled, settle
from riglog.estimation.slips import slips
from riglog.estimation.stands import Stand, Stands
from riglog.estimation.wild import Explanations, Mixture, explanations, likeliest, mixture
from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray

if TYPE_CHECKING:
    from riglog.estimation.kit import Hung, Kit
    from riglog.estimation.products import Tilts
    from riglog.estimation.tree import Tree

Indices = Sequence[int] | npt.NDArray[np.intp]
# K(1/2), the factor of a drop from horizontal to upright (OEIS A093341).
FROM_HORIZONTAL = 1.8540746773013719
# A reading that is wild with more than this probability is worth a word.
_DOUBT = 0.5


class Inference:
    """What a kit's readings say about the stands that are asked about.

    Every stand that will be asked about is named at the start, since the parameters of all that
    hangs are laid out once. ``theta`` is the best guess at them, (p,), with every explanation of
    wild readings counted as it is likely. ``kept_out`` has the readings that do not
    count, each with the conditions that it was taken under.
    """

    def __init__(self, kit: Kit, asked: Sequence[Hung]) -> None:
        self.parameters = Parameters(kit)
        stands = Stands(self.parameters)
        made = [(hung, stands.stand(hung)) for hung in asked]
        told = [(each, kept_out_by(kit, each)) for each in kit.readings]
        self.kept_out = tuple((each, why) for each, why in told if why)
        candidates = Observations.of(stands, [each for each, why in told if not why])
        chosen = best_first(candidates, [stand for _, stand in made])
        self.observations = candidates.only(chosen)
        self.kit = kit._replace(readings=self.observations.readings)
        self.slips = slips(self.observations)
        self.posterior, self.why = believe(self.observations, self.slips)
        if any(claim.kind == "friction" for claim in self.observations.claims):
            from riglog.estimation.half_normal import sharpen  # few logs tell friction

            if sharpen(self.posterior):
                self.observations = self.observations.again()
                self.posterior, self.why = believe(self.observations, self.slips)
        self.theta = likeliest(self.posterior, self.why)
        self.stands = tuple(Hanging(self, hung, stand) for hung, stand in made)

    def doubted(self) -> dict[str, float]:
        """Readings that are likelier wild than not, by their entries, with the probability."""
        claims, readings = self.observations.claims, self.observations.readings
        share = {claims[index].reading: 1.0 for index in self.slips}
        for wild, probability in zip(self.why.wild, self.why.probability, strict=True):
            for claim in wild[wild >= 0]:
                reading = claims[claim].reading
                share[reading] = min(share.get(reading, 0.0) + float(probability), 1.0)
        return {readings[each].entry: p for each, p in sorted(share.items()) if p > _DOUBT}

    def _mixture(self, rows: Rows) -> Mixture:
        """What is said of asked rows beyond their values at ``theta``."""
        mixed = mixture(self.posterior, self.why, rows)
        there = rows.jacobian @ (self.theta - self.posterior.theta)
        return mixed._replace(change=mixed.change - there)

    def estimates(self, value: FloatArray, rows: Rows) -> list[Estimate]:
        """Estimates of l quantities with these values at ``theta`` and these rows."""
        mixed = self._mixture(rows)
        sd = np.sqrt(np.maximum(np.einsum("hll->hl", mixed.covariance), 0.0))
        return [
            estimate(mixed.weight, value[i] + mixed.change[:, i], sd[:, i])
            for i in range(len(value))
        ]

    def plane(self, value: FloatArray, rows: Rows) -> Plane:
        """Two quantities together."""
        mixed = self._mixture(rows)
        return Plane(mixed.weight, value + mixed.change, mixed.covariance)


class Hanging:
    """One stand that is asked about: how it hangs by the best fit, and how sure that is."""

    def __init__(self, inference: Inference, hung: Hung, stand: Stand) -> None:
        self.inference = inference
        self.hung = hung
        self.stand = stand
        self.tree: Tree = stand.tree
        self.theta = inference.theta
        self.positions_m = stand.positions(self.theta)
        self.hangs = self.at(self.positions_m)

    def at(self, positions_m: FloatArray) -> Balance:
        """What hangs with the adjusters at these positions (a,) [m], by the best fit."""
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

    def settings(self, settled: Settled, wanted_s: float | None) -> list[Estimate]:
        """True positions of the free adjusters, without the error of setting them.

        With ``wanted_s`` None the pivot's is that of neutral.
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
        return self._rows(
            hangs, weights, settled.moved, np.zeros(len(response)),
            -self.friction_m_per_n_m(hangs) * response[:, 2],
        )  # fmt: skip

    def move(self, wanted_s: float) -> Estimate:
        """Change of the pivot's position from where it truly stands to the wanted drop time.

        Both ends lie above one center of gravity: what the scale says enters only by other marks.
        """
        pivot = self.tree.pivot
        settled = self.settle([pivot], wanted_s, self.positions_m)
        rows = self.setting_rows(settled, wanted_s)
        rows.jacobian[:, self.stand.settings[pivot]] -= 1.0
        change = settled.positions_m[[pivot]] - self.positions_m[[pivot]]
        return self.inference.estimates(change, rows)[0]

    def neutral(self, settled: Settled) -> Estimate:
        """True pivot position at which this build, trimmed, is neutral."""
        index = int(np.flatnonzero(settled.moved == self.tree.pivot)[0])
        at_neutral = self.settings(settled, None)[index]
        depth = self.depth_m(settled.positions_m, settled.hangs)
        return at_neutral.moved(float(settled.response[index, 2]) * depth)

    def depth_m(self, positions_m: FloatArray, hangs: Balance) -> float:
        """Pivot above the center of gravity as a drop tells it, less what friction hides [m]."""
        above = self.tree.up * (positions_m[self.tree.pivot] - hangs.cg_m[0, 2])
        hidden = float(self.theta[self.tree.friction]) * self.friction_m_per_n_m(hangs)
        return float(above - hidden)

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
        return self._rows(hangs, weights, exact, np.full(1, self.tree.up), friction)

    def lean(self) -> Plane:
        """Center of gravity forward of and below the pivot where it stands [m]."""
        return self._off(np.array([1.0, 0.0]))

    def side(self) -> Plane:
        """Center of gravity to the right, as the world has it, of and below the pivot [m]."""
        return self._off(np.array([0.0, -self.tree.up]))

    def _off(self, way: FloatArray) -> Plane:
        """Center of gravity off the pivot along a way in rig axes (2,), and below it."""
        hangs, tree = self.hangs, self.tree
        across = (hangs.across_m[0] - tree.axis_m(self.theta)) @ way
        below = tree.up * (self.positions_m[tree.pivot] - hangs.cg_m[0, 2])
        weights = Weights.none(2)
        weights.cg[0, :2] = weights.aside[0] = way
        weights.cg[1, 2] = -tree.up
        rows = self._rows(hangs, weights, (), np.array([0.0, tree.up]), np.zeros(2))
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
        """Rows of the center of gravity along x and y."""
        weights = Weights.none(2)
        weights.cg[:, :2] = weights.aside[:] = np.eye(2)
        hangs = self.at(positions_m)
        return self._rows(hangs, weights, exact, np.zeros(2), np.zeros(2))

    def log_gyration(self) -> Estimate:
        """Logarithm of k^2 [log m^2], about the center of gravity along the tilt axis."""
        k2 = self.hangs.gyration_m2
        weights = Weights.none(1)
        weights.gyration[:] = 1 / k2
        rows = self._rows(self.hangs, weights, (), np.zeros(1), np.zeros(1))
        return self.inference.estimates(np.log(k2), rows)[0]

    def height_per_travel(self) -> float:
        """Rise above the center of gravity per unit that the pivot travels: 1 - m_c / M."""
        share = self.hangs.part_mass_kg / self.hangs.mass_kg
        return 1.0 - float(share @ self.tree.slides[:, self.tree.pivot, 2])

    def weight(self) -> Estimate:
        """Mass of all that hangs or rides along [kg]."""
        weights = Weights.none(1)
        weights.weight[:] = 1.0
        rows = self._rows(self.hangs, weights, (), np.zeros(1), np.zeros(1))
        return self.inference.estimates(np.array([self.hangs.weight_kg]), rows)[0]

    def trim(self) -> list[Estimate]:
        """Center of gravity off the axis that the rig pans about, forward and to the left [m].

        That is what a lean tells of the rig itself, whatever its gimbal does.
        """
        weights = Weights.none(2)
        weights.cg[:, :2] = weights.aside[:] = np.eye(2)
        value = self.hangs.across_m[0] - np.array(self.tree.rig.pivot_at)
        rows = self._rows(self.hangs, weights, (), np.zeros(2), np.zeros(2), np.zeros((2, 2)))
        return self.inference.estimates(value, rows)

    def centering(self) -> list[Estimate]:
        """Tilt axis of the gimbal off the axis that it pans about [m]; empty where none is told."""
        if not self.tree.centering:
            return []
        rows = self._rows(self.hangs, Weights.none(2), (), np.zeros(2), np.zeros(2), np.eye(2))
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
        below = self.tree.up * (self.positions_m[self.tree.pivot] - hangs.cg_m[0, 2])
        weights = Weights.none(2)
        weights.cg[1, 2] = -self.tree.up
        rows = self._rows(
            hangs, weights, (), np.array([0.0, self.tree.up]), np.array([per_n_m, 0.0])
        )
        friction = float(self.theta[self.tree.friction]) * per_n_m
        return self.inference.plane(np.array([friction, below]), rows)

    def friction_m_per_n_m(self, hangs: Balance) -> float:
        """Height that a unit of friction torque at the pivot hides from a drop."""
        return FRICTION_SHIFT / (STANDARD_GRAVITY * float(hangs.mass_kg))

    def _rows(
        self,
        hangs: Balance,
        weights: Weights,
        exact: Indices,
        pivot: FloatArray,
        friction: FloatArray,
        centering: FloatArray | None = None,
    ) -> Rows:
        """Rows of l sums at this stand; the setting errors of ``exact`` adjusters are left out."""
        count, parameters = len(pivot), self.inference.parameters
        settings = np.tile(self.stand.settings, (count, 1))
        settings[:, list(exact)] = len(parameters)
        jacobian = pull_back(
            parameters, self.tree, hangs, weights, settings, pivot, friction, centering
        )
        return Rows(jacobian, weights.cg, (self.stand.seats,) * count)


def believe(
    observations: Observations, gross: Mapping[int, float]
) -> tuple[Posterior, Explanations]:
    """The fit without gross slips (claim, variance), and which readings it takes for wild."""
    extra = np.zeros(len(observations.claims))
    extra[list(gross)] = list(gross.values())
    posterior = fit(observations, extra)
    return posterior, explanations(posterior)
