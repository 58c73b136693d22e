"""A quantity with what is known of it: best value, standard deviation, 95 % interval."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
COVERAGE = 0.95
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Estimate:
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
        score = (value - self.mean) / np.maximum(self.sd, 1e-12)
        return float(self.weight @ np.array([_NORMAL.cdf(z) for z in score]))

    def quantile(self, probability: float) -> float:
        """Value that the quantity stays below with this probability, by bisection."""
        reach = 9.0 * self.sd
        low, high = float(np.min(self.mean - reach)), float(np.max(self.mean + reach))
        if len(self.weight) == 1:
            return float(self.mean[0] + self.sd[0] * _NORMAL.inv_cdf(probability))
        while high - low > 1e-9:
            middle = (low + high) / 2
            low, high = (middle, high) if self.below(middle) < probability else (low, middle)
        return (low + high) / 2

    def interval(self) -> tuple[float, float]:
        """Bounds that hold the quantity with 95 %."""
        rest = (1 - COVERAGE) / 2
        return self.quantile(rest), self.quantile(1 - rest)
