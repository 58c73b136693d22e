"""The front door: a kit and the stands asked about in, estimates out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.evidence import best_first
from riglog.estimation.hanging import Hanging
from riglog.estimation.interval import Estimate, Plane, estimate
from riglog.estimation.kept_out import kept_out_by
from riglog.estimation.observations import Observations
from riglog.estimation.parameters import Parameters
from riglog.estimation.posterior import Posterior, fit
from riglog.estimation.slips import slips
from riglog.estimation.stands import Stands
from riglog.estimation.wild import (
    WILD_SD_M,
    Explanations,
    Mixture,
    explanations,
    likeliest,
    mixture,
)

if TYPE_CHECKING:
    from collections.abc import Container, Iterator, Mapping, Sequence

    from riglog.estimation.kit import Hung, Kit
    from riglog.estimation.rows import Rows
    from riglog.mechanics.arrays import FloatArray

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
        self._slipped = self._slipped_swings()
        untrue = dict.fromkeys(self._claims_of(self._slipped), WILD_SD_M**2)
        if untrue:
            self.posterior, self.why = believe(self.observations, self.slips | untrue)
        if any(claim.kind == "friction" for claim in self.observations.claims):
            from riglog.estimation.half_normal import sharpen  # few logs tell friction

            if sharpen(self.posterior):
                self.observations = self.observations.again()
                self.posterior, self.why = believe(self.observations, self.slips | untrue)
        self.theta = likeliest(self.posterior, self.why)
        self.stands = tuple(Hanging(self, hung, stand) for hung, stand in made)

    def _slipped_swings(self) -> dict[int, float]:
        """Swings whose time is likelier a slip than not, by reading, with the probability.

        Miscounted they died away otherwise too, and a false time beside true drops looks like
        friction: neither of what they say counts.
        """
        of_friction = {c.reading for c in self.observations.claims if c.kind == "friction"}
        doubted = self._doubts({}) if of_friction else {}
        return {each: doubted[each] for each in of_friction if doubted.get(each, 0.0) > _DOUBT}

    def _claims_of(self, readings: Container[int]) -> Iterator[int]:
        for index, claim in enumerate(self.observations.claims):
            if claim.reading in readings:
                yield index

    def doubted(self) -> dict[str, float]:
        """Readings that are likelier wild than not, by their entries, with the probability."""
        readings, share = self.observations.readings, self._doubts(self._slipped)
        return {readings[each].entry: p for each, p in sorted(share.items()) if p > _DOUBT}

    def _doubts(self, known: Mapping[int, float]) -> dict[int, float]:
        """How likely each reading is wild, with what was known of some."""
        claims = self.observations.claims
        share = dict(known) | {claims[index].reading: 1.0 for index in self.slips}
        for wild, probability in zip(self.why.wild, self.why.probability, strict=True):
            for claim in wild[wild >= 0]:
                reading = claims[claim].reading
                share[reading] = min(share.get(reading, 0.0) + float(probability), 1.0)
        return share

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


def believe(
    observations: Observations, gross: Mapping[int, float]
) -> tuple[Posterior, Explanations]:
    """The fit without gross slips (claim, variance), and which readings it takes for wild."""
    extra = np.zeros(len(observations.claims))
    extra[list(gross)] = list(gross.values())
    posterior = fit(observations, extra)
    return posterior, explanations(posterior)
