"""Estimates of many quantities at once, each a mixture of few normals.

``Estimate`` says the same of one quantity, to a billionth; a table of lenses asks for thousands of
bounds, and for a table a ten-thousandth of a standard deviation is plenty.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.interval import BINS, COVERAGE

if TYPE_CHECKING:
    from riglog.mechanics.arrays import FloatArray

# Eighteen standard deviations halved so often leave a ten-thousandth of one.
_HALVINGS = 18
_REACH = 9.0
# b1 to b5 of the formula below.
_SERIES = (0.0, 0.319381530, -0.356563782, 1.781477937, -1.821255978, 1.330274429)


class Estimates(NamedTuple):
    """l mixtures of b normals: weight, mean and standard deviation, (l, b) each."""

    weight: FloatArray
    mean: FloatArray
    sd: FloatArray

    @property
    def value(self) -> FloatArray:
        """The means of the mixtures, (l,)."""
        return np.asarray(np.sum(self.weight * self.mean, axis=-1))

    def quantile(self, probability: float, widened: FloatArray | float = 0.0) -> FloatArray:
        """Values (l,) that each stays below with this probability.

        ``widened`` is the standard deviation of an independent error, (l, 1) or of all.
        """
        sd = np.maximum(np.hypot(self.sd, widened), 1e-12)
        low = np.min(self.mean - _REACH * sd, axis=-1)
        high = np.max(self.mean + _REACH * sd, axis=-1)
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            below = np.sum(self.weight * _normal((middle[:, None] - self.mean) / sd), axis=-1)
            low, high = (
                np.where(below < probability, middle, low),
                np.where(below < probability, high, middle),
            )
        return np.asarray(0.5 * (low + high))

    def interval(self) -> tuple[FloatArray, FloatArray]:
        """Bounds (l,) that hold each quantity with 95 %."""
        rest = (1 - COVERAGE) / 2
        return self.quantile(rest), self.quantile(1 - rest)


def estimates(weight: FloatArray, mean: FloatArray, sd: FloatArray) -> Estimates:
    """Mixtures of at most ``BINS`` normals that stand for those of h, as ``estimate`` makes one.

    Parameters
    ----------
    weight : (h,) array
    mean, sd : (h, l) arrays
    """
    if len(weight) <= BINS:
        shape = mean.T.shape
        return Estimates(np.broadcast_to(weight, shape), mean.T, sd.T)
    low, high = mean.min(axis=0), mean.max(axis=0)
    wide = np.maximum(high - low, 1e-15)
    which = np.minimum(((mean - low) / wide * BINS).astype(np.intp), BINS - 1)
    flat = (which + BINS * np.arange(mean.shape[1])).ravel()
    from_low = mean - low
    share, first, second = (
        np.bincount(flat, each.ravel(), minlength=BINS * mean.shape[1])
        .reshape(-1, BINS)
        .astype(np.float64)
        for each in (
            np.broadcast_to(weight[:, None], mean.shape),
            weight[:, None] * from_low,
            weight[:, None] * (np.square(sd) + np.square(from_low)),
        )
    )
    full = np.where(share > 0, share, 1.0)
    center = first / full
    spread = np.sqrt(np.maximum(second / full - np.square(center), 0.0))
    return Estimates(share, low[:, None] + center, np.where(share > 0, spread, 1e-12))


def _normal(score: FloatArray) -> FloatArray:
    """Share of a normal quantity below a score, within 1e-7 (Abramowitz & Stegun 26.2.17)."""
    size = np.abs(score)
    t = 1.0 / (1.0 + 0.2316419 * size)
    series = np.polynomial.polynomial.polyval(t, _SERIES)
    tail = 0.3989422804014327 * np.exp(-0.5 * np.square(size)) * series
    return np.where(score > 0, 1.0 - tail, tail)
