"""What repeated readings and stated limits say about a quantity (JCGM 100:2008, the GUM)."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import FloatArray, floats


class LeastSquares(NamedTuple):
    """Parameters (..., p), their covariance (..., p, p), and the sum of squared scores (...,)."""

    parameters: FloatArray
    covariance: FloatArray
    chi2: FloatArray


def sd_within(half_width: npt.ArrayLike) -> FloatArray:
    """Standard deviation of what lies evenly within limits, a / sqrt 3 (GUM 4.3.7)."""
    return _divided(half_width, 3.0**0.5)


def sd_of_step(step: npt.ArrayLike) -> FloatArray:
    """Standard deviation of a reading rounded to a step, step / sqrt 12 (GUM F.2.2.1)."""
    return _divided(step, 12.0**0.5)


def _divided(value: npt.ArrayLike, by: float) -> FloatArray:
    quotient: FloatArray = floats(value) / by
    return quotient


def least_squares(design: npt.ArrayLike, values: npt.ArrayLike, sds: npt.ArrayLike) -> LeastSquares:
    """Parameters that fit values best, linear in them, each value with a known deviation.

    Parameters
    ----------
    design : (..., k, p) array
        Derivative of each value with respect to each parameter.
    values : (..., k) array
    sds : (..., k) array
        Standard deviations, positive, in the unit of the values.

    Returns
    -------
    LeastSquares
        The covariance is (J^T W J)^-1; multiply it by chi2 / (k - p) where only the ratios of
        the deviations are known.

    Raises
    ------
    ValueError
        If the values do not determine the parameters.
    """
    scaled, target = floats(design) / floats(sds)[..., None], floats(values) / floats(sds)
    # Columns brought to length 1: parameters in meters and in square meters may meet here.
    lengths = np.linalg.norm(scaled, axis=-2)
    if not np.all(lengths > 0.0):
        raise ValueError("the readings do not determine every parameter")
    q, r = np.linalg.qr(scaled / lengths[..., None, :])
    if not np.all(abs(np.diagonal(r, axis1=-2, axis2=-1)) > 1e-12):
        raise ValueError("the readings do not determine every parameter")
    root = np.linalg.inv(r) / lengths[..., :, None]
    parameters = (root @ np.swapaxes(q, -1, -2) @ target[..., None])[..., 0]
    scores = target - (scaled @ parameters[..., None])[..., 0]
    return LeastSquares(
        parameters, root @ np.swapaxes(root, -1, -2), np.sum(scores * scores, axis=-1)
    )
