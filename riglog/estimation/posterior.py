"""The fit: Gauss-Newton in the space of the readings.

With theta_0 and P the priors, h(theta) the residuals of k claims, J their rows, R their noise and
S the covariance that comes of parts seating themselves,

    theta = theta_0 + P J' K^-1 (J (theta - theta_0) - h(theta)),  K = J P J' + S + R,

which is the least-squares MAP written for few readings of many parameters (A. Tarantola, Inverse
Problem Theory, SIAM 2005, section 3.4). What is asked is a row like any other, and its covariance
with the claims tells what they say about it, so that parts that nobody touched cancel.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.rows import Rows, covariance, rigging_covariance

if TYPE_CHECKING:
    from riglog.estimation.observations import Evaluated, Observations
    from riglog.mechanics.arrays import FloatArray

_MOST_STEPS = 12
# A step that moves no claim by more than this share of its standard deviation is the last.
_SETTLED = 0.01
# No mass or inertia is changed in one step by more than this factor's logarithm, nor in all by
# more than that one's: readings that contradict each other would drive it out of all numbers.
_LEAP, _FARTHEST = 1.0, 4.0


class Posterior(NamedTuple):
    """What the readings say, linear about the best fit.

    Attributes
    ----------
    prior_variance : (p,) array
    theta : (p,) array
        The best fit.
    claims
        Rows and noise of the claims at theta.
    precision : (k, k) array
        Inverse of K.
    told : (p, k) array
        P J'.
    innovation : (k,) array
        J (theta - theta_0) - h(theta): what the claims say beyond the priors.
    """

    observations: Observations
    prior_mean: FloatArray
    prior_variance: FloatArray
    theta: FloatArray
    claims: Evaluated
    precision: FloatArray
    told: FloatArray
    innovation: FloatArray

    def cross(self, asked: Rows) -> FloatArray:
        """Prior covariance (l, k) of l asked rows with the claims."""
        shared = asked.jacobian @ self.told
        return shared + rigging_covariance(asked, self.claims.rows)

    def covariance(self, asked: Rows) -> FloatArray:
        """Posterior covariance (l, l) of asked rows, every claim believed."""
        cross = self.cross(asked)
        prior = covariance(self.prior_variance, asked, asked)
        return prior - cross @ self.precision @ cross.T


def fit(observations: Observations, extra_noise: FloatArray | None = None) -> Posterior:
    """The posterior of the parameters, given the observations.

    Parameters
    ----------
    observations
        Every row that will be asked about must have its parameters made before.
    extra_noise : (k,) array, optional
        Variance added to the claims, where some are not to be believed.
    """
    parameters = observations.stands.parameters
    mean, variance = parameters.mean, parameters.variance
    theta, claims = mean, observations.at_priors
    for step in range(_MOST_STEPS):
        if step:
            claims = observations.evaluate(theta)
        precision, innovation = linear(claims, theta - mean, variance, extra_noise)
        new = mean + variance * (claims.rows.jacobian.T @ (precision @ innovation))
        new = np.where(parameters.logarithm, _held(new, theta, mean), new)
        moved = claims.rows.jacobian @ (new - theta)
        theta = new
        if np.all(np.abs(moved) <= _SETTLED * np.sqrt(claims.noise)):
            break
    told = variance[:, None] * claims.rows.jacobian.T
    return Posterior(observations, mean, variance, theta, claims, precision, told, innovation)


def _held(new: FloatArray, theta: FloatArray, mean: FloatArray) -> FloatArray:
    near = np.clip(new, theta - _LEAP, theta + _LEAP)
    return np.clip(near, mean - _FARTHEST, mean + _FARTHEST)


def linear(
    claims: Evaluated,
    shift: FloatArray,
    variance: FloatArray,
    extra_noise: FloatArray | None,
) -> tuple[FloatArray, FloatArray]:
    """Inverse of the covariance (k, k) of the claims' innovations, and the innovations (k,).

    ``shift`` (p,) is how far from the priors' means the claims were evaluated.
    """
    total = covariance(variance, claims.rows, claims.rows)
    noise = claims.noise if extra_noise is None else claims.noise + extra_noise
    total[np.diag_indices_from(total)] += noise
    innovation = claims.rows.jacobian @ shift - claims.residual
    return np.asarray(np.linalg.inv(total), dtype=np.float64), innovation
