"""Friction is never negative: its half-normal prior, as a normal one that does the same.

A normal prior with the half-normal's mean and standard deviation is right while nothing is known.
Once swings or the hold band tell friction, it would pull a stiff pivot back too hard and let a
smooth one go below zero. So the prior is replaced by the normal one that gives the posterior the
mean and variance that the half-normal would have given it (moments matched as in expectation
propagation: T. Minka, Uncertainty in Artificial Intelligence 17 (2001) 362-369).
"""

from __future__ import annotations

from math import erfc, exp, pi
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.priors import FRICTION_SCALE_N_M
from riglog.estimation.rows import Rows

if TYPE_CHECKING:
    from riglog.estimation.posterior import Posterior

# A variance that readings lower by less than this share was not told by them.
_TOLD = 0.01


class Normal(NamedTuple):
    """Mean and variance."""

    mean: float
    variance: float


def sharpen(posterior: Posterior) -> bool:
    """Replace the priors of the frictions that were told; whether there were any."""
    parameters = posterior.observations.stands.parameters
    told = False
    for column in parameters.frictions():
        before = Normal(posterior.prior_mean[column], posterior.prior_variance[column])
        after = Normal(float(posterior.theta[column]), _variance(posterior, column))
        if after.variance < (1 - _TOLD) * before.variance:
            parameters.replace_prior(column, *matched(_without(after, before)))
            told = True
    return told


def _variance(posterior: Posterior, column: int) -> float:
    jacobian = np.zeros((1, len(posterior.theta)))
    jacobian[0, column] = 1.0
    return float(posterior.covariance(Rows(jacobian, np.zeros((1, 3)), ({},)))[0, 0])


def _without(after: Normal, before: Normal) -> Normal:
    """What the readings alone say."""
    variance = 1 / (1 / after.variance - 1 / before.variance)
    mean = variance * (after.mean / after.variance - before.mean / before.variance)
    return Normal(mean, variance)


def matched(told: Normal, scale: float = FRICTION_SCALE_N_M) -> Normal:
    """The normal prior that does to a likelihood what a half-normal one does.

    Parameters
    ----------
    told
        Mean and variance of the likelihood, any mean, a finite variance.
    scale
        Standard deviation of the normal distribution that the half-normal is the upper half of.
    """
    whole = 1 / (1 / told.variance + 1 / scale**2)
    middle = whole * told.mean / told.variance
    hazard = _hazard(-middle / whole**0.5)
    mean = middle + whole**0.5 * hazard
    variance = whole * (1 - hazard * (hazard + middle / whole**0.5))
    prior = 1 / (1 / variance - 1 / told.variance)
    return Normal(prior * (mean / variance - told.mean / told.variance), prior)


def _hazard(score: float) -> float:
    """Density over upper tail of the unit normal; far out the tail is density over score."""
    tail = erfc(score / 2**0.5) / 2
    if tail <= 0:
        return score
    density: float = exp(-(score**2) / 2) / (2 * pi) ** 0.5
    return density / tail
