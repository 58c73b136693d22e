"""Which readings to take: those that tell most about the question, best first.

A house has thousands of readings that share a part with the build asked about, and nearly all of
what they say is said by a few dozen. Each step takes the reading that lowers the variance of what
is asked the most, given those taken already.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from riglog.estimation.forward import Weights, balance
from riglog.estimation.rows import Rows, covariance, pull_back, stack

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.observations import Observations
    from riglog.estimation.parameters import Parameters
    from riglog.estimation.stands import Stand
    from riglog.mechanics.arrays import FloatArray


MOST_READINGS = 128
# So few are taken whole.
_FEW = 32
# The newest so many pans are taken in any case.
_PANS = 4
# A reading that lowers no asked variance by more than this share is not worth its time.
_WORTH = 0.004


def best_first(
    observations: Observations, asked: Sequence[Stand], most: int = MOST_READINGS
) -> list[int]:
    """Numbers of the readings that matter, at most ``most``, in the order of the log."""
    if len(observations.readings) <= _FEW:
        return list(range(len(observations.readings)))
    parameters = observations.stands.parameters
    # How far it hung to a side tells nothing of what is asked.
    told = [i for i, claim in enumerate(observations.claims) if claim.kind != "side"]
    claims = observations.at_priors.part(told)
    rows = stack([_asked(parameters, stand) for stand in asked], len(parameters))
    variance = parameters.variance
    total = covariance(variance, claims.rows, claims.rows)
    cross = covariance(variance, rows, claims.rows)
    prior = np.diag(covariance(variance, rows, rows)).copy()
    reading = np.array([observations.claims[index].reading for index in told])
    # What a pan told is of no use to a drop, and all there is to tell how the axis is tilted.
    panned = [claim.reading for claim in observations.claims if claim.kind == "spin"][-_PANS:]
    return sorted(_greedy(total, claims.noise, cross, prior, reading, most, panned))


def _asked(parameters: Parameters, stand: Stand) -> Rows:
    """Depth and fore-aft center of gravity where a build stands, by the priors."""
    tree = stand.tree
    hangs = balance(tree, parameters.mean, np.repeat(stand.positions_m[None], 2, axis=0))
    depth = tree.below_m(stand.positions_m, hangs.cg_m[0])
    weights = Weights(
        np.array([[0.0, 0.0, -tree.up], [1.0, 0.0, 0.0]]),
        np.array([-abs(depth) / hangs.gyration_m2[0], 0.0]),
        np.zeros(2),
        np.array([[0.0, 0.0], [1.0, 0.0]]),
    )
    exact = np.full((2, len(tree.adjusters)), len(parameters), dtype=np.intp)
    jacobian = pull_back(parameters, tree, hangs, weights, exact, np.zeros(2))
    return Rows(jacobian, weights.cg, (stand.seats,) * 2)


def _greedy(
    total: FloatArray,
    noise: FloatArray,
    cross: FloatArray,
    variance: FloatArray,
    reading: npt.NDArray[np.intp],
    most: int,
    kept: Sequence[int],
) -> set[int]:
    """Readings by greedy choice, beside those kept; all arrays but ``reading`` are used up."""
    chosen = set(kept)
    while len(chosen) < most:
        seen = np.diag(total) + noise
        gain = np.max(np.square(cross) / (seen * variance[:, None]), axis=0)
        gain[np.isin(reading, list(chosen))] = 0.0
        best = int(reading[np.argmax(gain)])
        if np.max(gain) < _WORTH:
            break
        chosen.add(best)
        for row in np.flatnonzero(reading == best):
            scale = total[row, row] + noise[row]
            pulled = total[row] / scale
            variance -= np.square(cross[:, row]) / scale
            cross -= np.outer(cross[:, row], pulled)
            total -= np.outer(total[row], pulled)
    return chosen
