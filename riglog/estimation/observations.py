"""Readings held against parameters: a residual, a noise and a row for each of their claims.

A residual is zero where the parameters explain the claim exactly; ``telling`` has each kind's.
"""

from __future__ import annotations

from collections import defaultdict
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.claims import Claim, claims
from riglog.estimation.forward import balance
from riglog.estimation.noise import pooled_sd
from riglog.estimation.rows import Rows, add_tilt, pull_back, stack
from riglog.estimation.telling import Telling

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from riglog.estimation.kit import Logged
    from riglog.estimation.stands import Stand, Stands
    from riglog.mechanics.arrays import FloatArray


class Evaluated(NamedTuple):
    """All claims at one theta: residuals (k,), noise variances (k,) and their rows."""

    residual: FloatArray
    noise: FloatArray
    rows: Rows

    def part(self, chosen: Sequence[int]) -> Evaluated:
        """Some of the claims."""
        at = np.array(chosen, dtype=np.intp)
        seats = tuple(self.rows.seats[index] for index in chosen)
        rows = Rows(self.rows.jacobian[at], self.rows.rigging[at], seats)
        return Evaluated(self.residual[at], self.noise[at], rows)


class Observations:
    """The readings of a kit, ready to be held against any parameters.

    ``claims`` is what they say, ``places`` where the rig stood at each of these claims.
    """

    def __init__(
        self,
        stands: Stands,
        readings: Sequence[Logged],
        stood: Sequence[Stand],
        timing_sd: Mapping[tuple[str, str], float],
    ) -> None:
        self.stands = stands
        self.readings = tuple(readings)
        self.timing_sd = timing_sd
        self._stood = stood
        by_tree: dict[int, list[tuple[Claim, Stand]]] = defaultdict(list)
        for index, (logged, stand) in enumerate(zip(readings, stood, strict=True)):
            for claim in claims(index, logged, timing_sd):
                # A ring's two pivots hold it level across, wherever its center of gravity is.
                if claim.kind != "side" or stand.tree.rig.type != "ring":
                    by_tree[id(stand.tree)].append((claim, stand))
        self._groups = list(by_tree.values())
        self.claims = [claim for group in self._groups for claim, _ in group]
        self.places = [stand for group in self._groups for _, stand in group]

    @classmethod
    def of(cls, stands: Stands, readings: Sequence[Logged]) -> Observations:
        """Readings where they were taken; their parameters are added."""
        stood = [stands.stand(logged.hung) for logged in readings]
        return cls(stands, readings, stood, pooled_sd(readings))

    @cached_property
    def at_priors(self) -> Evaluated:
        """Every claim where the priors are; ask once all parameters are made."""
        return self.evaluate(self.stands.parameters.mean)

    def only(self, chosen: Sequence[int]) -> Observations:
        """The same with some of the readings; what people's timings scatter stays as it was."""
        if len(chosen) == len(self.readings):
            return self
        readings = [self.readings[index] for index in chosen]
        stood = [self._stood[index] for index in chosen]
        fewer = Observations(self.stands, readings, stood, self.timing_sd)
        # They were evaluated at the priors to be chosen, and need not be again.
        known = {claim: index for index, claim in enumerate(self.claims)}
        named = (claim._replace(reading=chosen[claim.reading]) for claim in fewer.claims)
        fewer.at_priors = self.at_priors.part([known[claim] for claim in named])
        return fewer

    def again(self) -> Observations:
        """The same after a prior was replaced."""
        return Observations(self.stands, self.readings, self._stood, self.timing_sd)

    def evaluate(self, theta: FloatArray) -> Evaluated:
        """Residuals, noise and rows of every claim at parameters theta (p,)."""
        parts = [self._evaluate(group, theta) for group in self._groups]
        return Evaluated(
            np.concatenate([part.residual for part in parts] or [np.zeros(0)]),
            np.concatenate([part.noise for part in parts] or [np.zeros(0)]),
            stack([part.rows for part in parts], len(theta)),
        )

    def _evaluate(self, group: list[tuple[Claim, Stand]], theta: FloatArray) -> Evaluated:
        tree = group[0][1].tree
        positions = np.array([stand.positions(theta) for _, stand in group])
        hangs = balance(tree, theta, positions)
        told = Telling(tree, [claim for claim, _ in group], positions, hangs, theta)
        jacobian = pull_back(
            self.stands.parameters, tree, hangs, told.weights,
            np.array([stand.settings for _, stand in group]), told.friction, told.pivot,
            told.centering,
        )  # fmt: skip
        for index, (to_columns, to_positions) in told.tilts.items():
            add_tilt(jacobian[index], tree, group[index][1].settings, to_columns, to_positions)
        rows = Rows(jacobian, told.weights.cg, tuple(stand.seats for _, stand in group))
        return Evaluated(told.residual, told.noise, rows)
