"""The front door: a kit and the stands asked about in, estimates out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from riglog.estimation.forward import Weights, balance
from riglog.estimation.heights import FRICTION_SHIFT, STANDARD_GRAVITY, height_slopes
from riglog.estimation.interval import Estimate
from riglog.estimation.kit import Hung, Kit
from riglog.estimation.observations import Observations
from riglog.estimation.parameters import Parameters
from riglog.estimation.posterior import Posterior, fit
from riglog.estimation.rows import Rows, pull_back
from riglog.estimation.settle import Settled, depth, settle
from riglog.estimation.stands import Stand, Stands
from riglog.estimation.wild import WILD_SD_M, Explanations, Mixture, explanations, mixture

FloatArray = npt.NDArray[np.float64]
UPRIGHT_FROM_HORIZONTAL = 1.8540746773013719


class Inference:
    """What a kit's readings say about the stands that are asked about.

    Every stand that will be asked about is named at the start, since the parameters of all that
    hangs are laid out once.
    """

    def __init__(self, kit: Kit, asked: Sequence[Hung]) -> None:
        self.parameters = Parameters(kit)
        self.stands = Stands(self.parameters)
        self._asked = {id(hung): self.stands.stand(hung) for hung in asked}
        observations = Observations(self.stands, kit.readings)
        self.posterior, self.why = believe(observations)
        self.theta = self.posterior.theta

    def stand(self, hung: Hung) -> Stand:
        """The stand of one of the builds asked about."""
        return self._asked[id(hung)]

    def settle(self, hung: Hung, free: Sequence[int], wanted_s: float | None) -> Settled:
        """Where the free adjusters go for the wanted drop time from horizontal."""
        stand = self.stand(hung)
        wanted = None if wanted_s is None else (wanted_s, UPRIGHT_FROM_HORIZONTAL)
        return settle(stand.tree, self.theta, stand.positions_m, free, wanted)

    def settings(self, hung: Hung, settled: Settled, wanted_s: float | None) -> list[Estimate]:
        """True positions of the free adjusters, without the error of setting them."""
        stand = self.stand(hung)
        tree, count = stand.tree, len(settled.moved)
        hangs = settled.hangs
        per_k2 = 0.0
        if wanted_s is not None:
            factor = np.float64(UPRIGHT_FROM_HORIZONTAL)
            per_k2 = float(height_slopes(np.float64(wanted_s), factor, hangs.gyration_m2[0])[1])
        # Errors of fore-aft, side and depth, each per unit of the center, k^2 and friction.
        cg = settled.response @ np.diag([1.0, 1.0, -tree.up])
        weights = Weights(cg, -per_k2 * settled.response[:, 2], np.zeros(count))
        friction = FRICTION_SHIFT / (STANDARD_GRAVITY * float(hangs.mass_kg))
        exact = np.broadcast_to(stand.settings, (count, len(stand.settings))).copy()
        exact[:, settled.moved] = len(self.parameters)
        rows = Rows(
            pull_back(
                self.parameters, tree, hangs, weights, exact,
                np.zeros(count), -friction * settled.response[:, 2],
            ),
            weights.cg,
            (stand.seats,) * count,
        )  # fmt: skip
        return self._estimates(settled.positions_m[settled.moved], rows)

    def _estimates(self, value: FloatArray, rows: Rows) -> list[Estimate]:
        mixed = mixture(self.posterior, self.why, rows)
        variance = np.einsum("hll->hl", mixed.covariance)
        sd = np.sqrt(np.maximum(variance, 0.0))
        return [
            Estimate(mixed.weight, value[i] + mixed.change[:, i], sd[:, i])
            for i in range(len(value))
        ]


def believe(observations: Observations) -> tuple[Posterior, Explanations]:
    """The fit, made again about the likeliest explanation where that holds a reading for wild."""
    posterior = fit(observations)
    why = explanations(posterior)
    return posterior, why
