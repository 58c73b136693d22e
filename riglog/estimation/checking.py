"""Every reading against all the others, and which of them stand out.

A reading that is in the fit is left out of it in closed form: with S the inverse of the covariance
of the claims' innovations r, and u = S r, the claims B of one reading are off from what all others
predict by S_BB^-1 u_B, with covariance S_BB^-1 (the block form of leave-one-out in S. Sundararajan
and S. S. Keerthi, Predictive Approaches for Choosing Hyperparameters in Gaussian Processes, 2001,
section 3, from memory). One that is not in it is asked about like anything else.

What stands out is looked for one by one, the furthest first, and each is taken out of the fit, so
that a slip neither hides another nor makes the good readings beside it look wrong.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.estimation.held import Held, held
from riglog.estimation.inference import Inference
from riglog.estimation.interval import Estimate
from riglog.estimation.noise import method_sd
from riglog.estimation.observations import Observations
from riglog.estimation.posterior import Posterior, fit
from riglog.estimation.wild import WILD_SD_M

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from riglog.estimation.claims import Claim
    from riglog.estimation.kit import Hung, Kit, Logged
    from riglog.mechanics.arrays import FloatArray

Indices = npt.NDArray[np.intp]
# A log without slips is said to be quiet in all but this share.
FALSE_ALARM = 0.02

# Kinds of readings that are taken to be made in trim, and do not say so.
_IN_TRIM = frozenset({"drop", "spin"})


class Off(NamedTuple):
    """How far the claims of one reading are off from what all others predict.

    Attributes
    ----------
    claims : (c,) array of int
    off : (c,) array
        Predicted less told, as residuals are.
    variance : (c,) array
        Of the prediction, without the claims' own noise.
    """

    claims: Indices
    off: FloatArray
    variance: FloatArray


def left_out(posterior: Posterior, extra: FloatArray, claims: Indices) -> Off:
    """The claims of one reading against all others.

    Parameters
    ----------
    extra : (k,) array
        Variance that was added to the claims of the posterior; their own is not held for theirs.
    """
    pulled = posterior.precision @ posterior.innovation
    inner = np.linalg.inv(posterior.precision[np.ix_(claims, claims)])
    noise = posterior.claims.noise[claims] + extra[claims]
    variance = np.maximum(np.diag(inner) - noise, 0.0)
    return Off(claims, -inner @ pulled[claims], variance)


class Checked:
    """The readings of a kit, each held against all the others.

    Parameters
    ----------
    kit
        All that bears on the readings, and they themselves.
    stood
        How the rig hung at each reading that is asked about, be it in the fit or not.

    Attributes
    ----------
    held : mapping of tuples
        What each reading says, by its entry.
    outstanding : tuple of str
        Entries of readings that are further off than chance has it, the furthest first.
    limit : float
        More standard deviations than this chance does not have it.
    wild : mapping
        How likely a reading is a slip, by its entry, where that is likelier than not.
    """

    def __init__(self, kit: Kit, stood: Sequence[Hung]) -> None:
        self.inference = Inference(kit, stood)
        self.wild = self.inference.doubted()
        fitted = [logged.entry for logged in self.inference.kit.readings]
        inside = _Inside(self.inference)
        inside.clean(self.wild)
        found = inside.outstanding(fitted)
        self.outstanding = (*found, *(entry for entry in self.wild if entry not in found))
        self.limit = inside.limit
        self.held = {
            each.entry: inside.held(each.entry)
            if each.entry in fitted
            else forecast(self.inference, each)
            for each in kit.readings
        }


class _Inside:
    """The readings of a fit, and the variance that keeps some of them out of it."""

    def __init__(self, inference: Inference) -> None:
        self._observations = inference.observations
        reading = np.array([claim.reading for claim in self._observations.claims], dtype=np.intp)
        self._claims = {
            logged.entry: np.flatnonzero(reading == index)
            for index, logged in enumerate(self._observations.readings)
        }
        self._extra = np.zeros(len(reading))
        self._extra[list(inference.slips)] = list(inference.slips.values())
        self._posterior = inference.posterior
        self.limit = unusual(len(self._claims))

    def clean(self, wild: Iterable[str]) -> None:
        """Take what is wild out of the fit, and what stands out then, the furthest first."""
        for entry in wild:
            self._doubt(entry, WILD_SD_M**2)
        while True:
            self._posterior = fit(self._observations, self._extra)
            believed = [entry for entry, of in self._claims.items() if not self._extra[of].any()]
            worst = next(iter(self.outstanding(believed)), None)
            if worst is None:
                return
            off = self._left_out(worst)
            self._doubt(worst, float(np.max(np.square(off.off))))

    def _doubt(self, entry: str, variance: float) -> None:
        claims = self._claims[entry]
        self._extra[claims] = np.maximum(self._extra[claims], variance)

    def outstanding(self, among: Iterable[str]) -> list[str]:
        """Entries of readings that are further off than chance has it, the furthest first."""
        score = {entry: furthest(self.held(entry)) for entry in among}
        found = [entry for entry, off in score.items() if off > self.limit]
        return sorted(found, key=lambda entry: -score[entry])

    def held(self, entry: str) -> tuple[Held, ...]:
        """What a reading says, against the others."""
        return tuple(self._held(self._left_out(entry)))

    def _left_out(self, entry: str) -> Off:
        return left_out(self._posterior, self._extra, self._claims[entry])

    def _held(self, off: Off) -> Iterator[Held]:
        observations = self._observations
        for index, by, variance in zip(off.claims, off.off, off.variance, strict=True):
            claim = observations.claims[index]
            if is_said(claim, observations.readings[claim.reading]):
                yield held(
                    claim, observations.places[index], self._posterior.theta,
                    Estimate(np.ones(1), np.array([by]), np.sqrt([variance])),
                    float(self._posterior.claims.noise[index]) ** 0.5,
                )  # fmt: skip


def is_said(claim: Claim, logged: Logged) -> bool:
    """Whether a reading says it, and not only the fit: a drop or a pan in trim is assumed."""
    return claim.kind in _IN_TRIM or logged.reading.kind not in _IN_TRIM


def furthest(said: Iterable[Held]) -> float:
    """How many standard deviations a reading is off with the strangest thing that it says."""
    return max((abs(each.deviations) for each in said), default=0.0)


def unusual(count: int) -> float:
    """Standard deviations that none of so many readings exceeds, but for the false alarms."""
    chance = Estimate(np.ones(1), np.zeros(1), np.ones(1))
    return chance.quantile(1 - FALSE_ALARM / max(count, 1) / 2)


def forecast(inference: Inference, logged: Logged) -> tuple[Held, ...]:
    """What a reading says that is not in a fit, against the fit; its stand must be known to it."""
    known = inference.observations
    stand = known.stands.stand(logged.hung)
    timing = dict(known.timing_sd)
    if logged.reading.kind == "drop":
        timing.setdefault((logged.author, logged.reading.method), method_sd(logged.reading))
    one = Observations(known.stands, [logged], [stand], timing)
    claims = one.evaluate(inference.theta)
    off = inference.estimates(claims.residual, claims.rows)
    return tuple(
        held(claim, stand, inference.theta, off[index], float(claims.noise[index]) ** 0.5)
        for index, claim in enumerate(one.claims) if is_said(claim, logged)
    )  # fmt: skip
