"""What several measurements of one figure say together."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import floats


class Together(NamedTuple):
    """Weighted mean of several measurements, and its standard deviation.

    ``birge`` is how many times further apart they lie than their standard deviations say, 1 for
    one alone; where it is more than 1, the standard deviation is that much larger.
    """

    value: float
    sd: float
    birge: float


def together(values: npt.ArrayLike, sds: npt.ArrayLike) -> Together:
    """What measurements (n,) of one figure, each with a standard deviation, say together.

    The mean is weighted by 1 / sd^2. Where the measurements contradict each other, its standard
    deviation is multiplied by the root of chi^2 / (n - 1) (R. T. Birge, The calculation of errors
    by the method of least squares, Physical Review 40 (1932) 207-227): nobody can tell from the
    figures alone which of them is wrong.

    Raises
    ------
    ValueError
        If there is no measurement, or a standard deviation is not positive.
    """
    values, sds = floats(values), floats(sds)
    if np.size(values) == 0 or not np.all(sds > 0.0):
        raise ValueError("measurements need a positive standard deviation each, and one at least")
    weights = 1.0 / np.square(sds)
    mean = float(weights @ values / weights.sum())
    sd = float(weights.sum() ** -0.5)
    degrees = np.size(values) - 1
    chi2 = float(weights @ np.square(values - mean))
    birge = (chi2 / degrees) ** 0.5 if degrees else 1.0
    return Together(mean, sd * max(birge, 1.0), birge)
