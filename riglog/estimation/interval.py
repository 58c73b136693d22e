"""A quantity with what is known of it: best value, standard deviation, 95 % interval."""

from __future__ import annotations

from math import erf, exp, inf, pi, sqrt
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.mechanics.arrays import FloatArray

COVERAGE = 0.95
_ENDS = ((1 - COVERAGE) / 2, (1 + COVERAGE) / 2)
# A normal quantity stays within so many standard deviations of its mean in 95 %.
TWO_SIDED = 1.959963984540054
# A quantile is found to this share of the whole reach; halving alone would take 34 steps.
_CLOSE = 1e-10
_MOST_STEPS = 60
BINS = 24


class Estimate(NamedTuple):
    """Mixture of normals about a quantity.

    Attributes
    ----------
    weight, mean, sd : (h,) arrays
        Share, center and standard deviation of each.
    """

    weight: FloatArray
    mean: FloatArray
    sd: FloatArray

    @property
    def value(self) -> float:
        """The mean."""
        return float(self.weight @ self.mean)

    @property
    def standard_deviation(self) -> float:
        """Of the whole mixture."""
        square = self.weight @ (np.square(self.sd) + np.square(self.mean))
        return float(np.sqrt(max(square - self.value**2, 0.0)))

    def below(self, value: float) -> float:
        """Probability that the quantity is less than ``value``."""
        return _share_below(value, self._components())

    def _components(self) -> list[tuple[float, float, float]]:
        """As plain numbers: there are a few dozen, and a quantile asks for them again and again."""
        sd = np.maximum(self.sd, 1e-12).tolist()
        return list(zip(self.weight.tolist(), self.mean.tolist(), sd, strict=True))

    def quantile(self, probability: float) -> float:
        """Value that the quantity stays below with this probability.

        Newton's steps on the distribution, halving the bracket where one would leave it.
        """
        reach = 9.0 * self.sd
        low, high = float(np.min(self.mean - reach)), float(np.max(self.mean + reach))
        enough, components = (high - low) * _CLOSE, self._components()
        at = self.value
        for _ in range(_MOST_STEPS):
            excess, density = _share_below(at, components) - probability, _density(at, components)
            low, high = (at, high) if excess < 0 else (low, at)
            ahead = at - excess / density if density > 0 else high
            last, at = at, ahead if low < ahead < high else (low + high) / 2
            if abs(at - last) <= enough:
                break
        return at

    def moved(self, by: float) -> Estimate:
        """The same about a quantity that is ``by`` more."""
        return Estimate(self.weight, self.mean + by, self.sd)

    def widened(self, sd: float) -> Estimate:
        """The same about the sum with an independent error of that standard deviation."""
        return Estimate(self.weight, self.mean, np.hypot(self.sd, sd))

    def interval(self) -> tuple[float, float]:
        """Bounds that hold the quantity with 95 %."""
        low, high = (self.quantile(end) for end in _ENDS)
        return low, high


def _share_below(value: float, components: list[tuple[float, float, float]]) -> float:
    return sum(
        share * 0.5 * (1 + erf((value - mean) / (sd * 2**0.5))) for share, mean, sd in components
    )


def _density(value: float, components: list[tuple[float, float, float]]) -> float:
    peak = sqrt(2 * pi)
    return sum(
        share * exp(-(((value - mean) / sd) ** 2) / 2) / (sd * peak)
        for share, mean, sd in components
    )


def estimate(weight: FloatArray, mean: FloatArray, sd: FloatArray) -> Estimate:
    """A mixture of at most ``BINS`` normals that stands for one of h.

    Components whose means are near each other become one with their common mean and variance, so
    that a quantile of a thousand costs no more than one of a dozen.
    """
    low, high = float(mean.min()), float(mean.max())
    if len(weight) <= BINS or not high > low:
        return Estimate(weight, mean, sd)
    which = np.minimum(((mean - low) / (high - low) * BINS).astype(np.intp), BINS - 1)
    share, first, second = (
        np.bincount(which, each, minlength=BINS).astype(np.float64)
        for each in (weight, weight * mean, weight * (np.square(sd) + np.square(mean - low)))
    )
    used = share > 0
    share, center, square = share[used], first[used] / share[used], second[used] / share[used]
    return Estimate(share, center, np.sqrt(np.maximum(square - np.square(center - low), 0.0)))


class Quotient(NamedTuple):
    """A quotient that is never negative, with its 95 % bounds; infinite where it has no end."""

    low: float
    value: float
    high: float


class Plane(NamedTuple):
    """Mixture of normals about two quantities: mean (h, 2), covariance (h, 2, 2)."""

    weight: FloatArray
    mean: FloatArray
    covariance: FloatArray

    @property
    def value(self) -> FloatArray:
        """The mean, (2,)."""
        return np.asarray(self.weight @ self.mean)

    def angle_interval(self) -> tuple[float, float]:
        """Bounds that hold atan2(first, second) with 95 %, from draws on a fixed lattice."""
        points, weights = self._draws()
        low, high = _quantiles(np.arctan2(points[:, 0], points[:, 1]), weights, _ENDS)
        return low, high

    def quotient(self) -> Quotient:
        """How large the first is beside the second, by the same draws; less than none is none.

        A quotient of two normal quantities has no mean, so its best value is the median. As the
        second falls to nothing the quotient grows without end, and from there on it has no bound;
        the least it may be counts the second's size alone, whichever its sign.
        """
        points, weights = self._draws()
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            size = np.nan_to_num(np.maximum(points[:, 0], 0.0) / np.abs(points[:, 1]), posinf=inf)
        open_above = np.where(points[:, 1] > 0, size, inf)
        (low,) = _quantiles(size, weights, _ENDS[:1])
        return Quotient(low, *_quantiles(open_above, weights, (0.5, _ENDS[1])))

    def _draws(self) -> tuple[FloatArray, FloatArray]:
        """Points (n, 2) with their weights (n,)."""
        lattice = _lattice()
        points = [
            mean + lattice @ _root(covariance).T
            for mean, covariance in zip(self.mean, self.covariance, strict=True)
        ]
        return np.concatenate(points), np.repeat(self.weight / len(lattice), len(lattice))


def _root(covariance: FloatArray) -> FloatArray:
    """A matrix whose square is the covariance; it may be singular."""
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))


def _lattice(count: int = 2000) -> FloatArray:
    """Points (count, 2) that fill a unit normal evenly: Fibonacci's lattice on Rayleigh's radii."""
    index = np.arange(count)
    radius = np.sqrt(-2 * np.log1p(-(index + 0.5) / count))
    angle = 2 * np.pi * index * (np.sqrt(5) - 1) / 2
    return np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=1)


def _quantiles(
    values: FloatArray, weights: FloatArray, probabilities: Sequence[float]
) -> list[float]:
    order = np.argsort(values)
    at = np.searchsorted(np.cumsum(weights[order]), probabilities)
    return [float(values[order[min(index, len(values) - 1)]]) for index in at]
