"""Readings that are not to be believed.

A mark misread or a clamp not closed puts a height off by a centimeter. A robust loss on the times
does nothing about it, because the setting error swallows it. What works is to weigh up the
explanations "no reading is wild", "this one is", "these two are", each wild one with a standard
deviation of ``WILD_SD_M`` more, by how well they explain all that was logged, and to answer with
the mixture.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.estimation.rows import Rows, covariance, own_variance

if TYPE_CHECKING:
    from riglog.estimation.posterior import Posterior
    from riglog.mechanics.arrays import FloatArray

# One in 50: with more, a log without slips is believed too little.
WILD_SHARE = 0.02
WILD_SD_M = 0.010
# Explanations are taken until this much of the probability is told.
_TOLD = 0.999
MAY_BE_WILD = frozenset({"drop", "height"})


class Mixture(NamedTuple):
    """Normal components of asked quantities: weight (h,), change (h, l), covariance (h, l, l)."""

    weight: FloatArray
    change: FloatArray
    covariance: FloatArray


class Marginals(NamedTuple):
    """The same of each asked quantity by itself: weight (h,), change and sd (h, l)."""

    weight: FloatArray
    change: FloatArray
    sd: FloatArray


class Explanations(NamedTuple):
    """Which claims are wild, two at most, by index into the claims (-1 for none), and how likely.

    Attributes
    ----------
    wild : (h, 2) array of int
    probability : (h,) array
    inverse : (h, 2, 2) array
        (1/V + E' S E)^-1.
    pulled : (h, 2) array
        What the wild claims say beyond the priors, weighed: E' S r.
    """

    wild: npt.NDArray[np.intp]
    probability: FloatArray
    inverse: FloatArray
    pulled: FloatArray


def explanations(posterior: Posterior) -> Explanations:
    """The likeliest explanations, as many as tell nearly all, the likeliest first."""
    claims = posterior.observations.claims
    suspects = np.array(
        [i for i, claim in enumerate(claims) if claim.kind in MAY_BE_WILD], dtype=np.intp
    )
    wild = _candidates(suspects)
    score = _log_odds(posterior, wild)
    weight = np.exp(score - score.max())
    weight /= weight.sum()
    order = np.argsort(-weight, kind="stable")
    order = order[: int(np.searchsorted(np.cumsum(weight[order]), _TOLD)) + 1]
    likely = wild[order]
    weighed = (posterior.precision @ posterior.innovation)[None]
    return Explanations(
        likely,
        weight[order] / weight[order].sum(),
        np.asarray(np.linalg.inv(_inner(posterior, likely))),
        _pick(weighed, likely)[:, 0],
    )


def _candidates(suspects: npt.NDArray[np.intp]) -> npt.NDArray[np.intp]:
    first, second = np.triu_indices(len(suspects), 1)
    pairs = np.stack([suspects[first], suspects[second]], axis=1)
    ones = np.stack([suspects, np.full(len(suspects), -1)], axis=1)
    return np.concatenate([[[-1, -1]], ones, pairs]).astype(np.intp)


def _log_odds(posterior: Posterior, wild: npt.NDArray[np.intp]) -> FloatArray:
    """Logarithm of each explanation's odds against "none", up to a constant.

    Adding V to the variance of claims E changes the log-likelihood of the innovation r by
    (1/2) u' (1/V + E' S E)^-1 u - (1/2) log det(1 + V E' S E) with S the precision, u = E' S r.
    """
    inner = _inner(posterior, wild)
    picked = _pick((posterior.precision @ posterior.innovation)[None], wild)[:, 0]
    gain = 0.5 * np.einsum("hi,hij,hj->h", picked, np.linalg.inv(inner), picked)
    # 1/V + S_ii >= 1/V and the determinant is that of V (1/V + S) without its empty slots.
    log_det = np.asarray(np.linalg.slogdet(WILD_SD_M**2 * inner)[1])
    count = np.sum(wild >= 0, axis=1)
    odds: FloatArray = gain - 0.5 * log_det + count * np.log(WILD_SHARE / (1 - WILD_SHARE))
    return odds


def _inner(posterior: Posterior, wild: npt.NDArray[np.intp]) -> FloatArray:
    """1/V + E' S E, (h, 2, 2); an empty slot holds 1/V alone."""
    # One row and column of zeros more is what an empty slot, -1, picks.
    count = len(posterior.precision)
    padded = np.zeros((count + 1, count + 1))
    padded[:count, :count] = posterior.precision
    picked = padded[wild[:, :, None], wild[:, None, :]]
    return np.asarray(picked + np.eye(2) / WILD_SD_M**2)


def _pick(values: FloatArray, wild: npt.NDArray[np.intp]) -> FloatArray:
    """Entries of (l, k) values at the wild claims, (h, l, 2), zero where there is none."""
    padded = np.zeros((len(values), values.shape[1] + 1))
    padded[:, :-1] = values
    return np.moveaxis(padded[:, wild], 0, 1)


def mixture(posterior: Posterior, why: Explanations, asked: Rows) -> Mixture:
    """What the explanations, taken together, say of l asked rows beyond the best fit.

    The change is from the value at ``posterior.theta``, where every claim was believed.
    """
    cross = posterior.cross(asked)
    gain = cross @ posterior.precision
    pulled = _pick(gain, why.wild)
    solved = pulled @ why.inverse
    prior = covariance(posterior.prior_variance, asked, asked)
    return Mixture(
        why.probability,
        # Rigging is no parameter: what it adds to the asked value is not in theta.
        _rigging(posterior, asked, gain) - np.einsum("hli,hi->hl", solved, why.pulled),
        prior - gain @ cross.T + solved @ pulled.transpose(0, 2, 1),
    )


def marginals(posterior: Posterior, why: Explanations, asked: Rows) -> Marginals:
    """As ``mixture``, of each asked row by itself: of a thousand, nobody asks how they covary."""
    cross = posterior.cross(asked)
    gain = cross @ posterior.precision
    pulled = _pick(gain, why.wild)
    solved = pulled @ why.inverse
    believed = own_variance(posterior.prior_variance, asked) - np.sum(gain * cross, axis=1)
    variance = believed + np.sum(solved * pulled, axis=-1)
    return Marginals(
        why.probability,
        _rigging(posterior, asked, gain) - np.einsum("hli,hi->hl", solved, why.pulled),
        np.sqrt(np.maximum(variance, 0.0)),
    )


def likeliest(posterior: Posterior, why: Explanations) -> FloatArray:
    """Parameters (p,) by the explanations taken together: not every claim is believed in all."""
    drawn = (why.inverse @ why.pulled[:, :, None])[:, :, 0] * why.probability[:, None]
    told = np.zeros(len(posterior.innovation) + 1)
    np.add.at(told, why.wild, drawn)
    # An empty slot, -1, is the last.
    return posterior.theta - posterior.told @ (posterior.precision @ told[:-1])


def _rigging(posterior: Posterior, asked: Rows, gain: FloatArray) -> FloatArray:
    """Part of the best estimate of the asked rows that is not in the parameters, (l,)."""
    shift = posterior.theta - posterior.prior_mean
    return np.asarray(gain @ posterior.innovation - asked.jacobian @ shift)
