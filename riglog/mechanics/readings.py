"""What repeated readings and stated limits say about a quantity (JCGM 100:2008, the GUM)."""

from __future__ import annotations

from statistics import NormalDist
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import FloatArray, floats


class TypeA(NamedTuple):
    """Mean of repeated readings, their standard deviation (n - 1), and that of the mean."""

    mean: FloatArray
    sd: FloatArray
    sd_of_mean: FloatArray


class LeastSquares(NamedTuple):
    """Parameters (..., p), their covariance (..., p, p), and the sum of squared scores (...,)."""

    parameters: FloatArray
    covariance: FloatArray
    chi2: FloatArray


def type_a(values: npt.ArrayLike) -> TypeA:
    """Type A evaluation of repeated readings (GUM 4.2).

    Parameters
    ----------
    values : (..., k) array

    Returns
    -------
    TypeA
        Fields (...,), in the unit of the readings.

    Raises
    ------
    ValueError
        If there are fewer than two readings.
    """
    values = floats(values)
    count = np.shape(values)[-1] if np.ndim(values) else 1
    if count < 2:
        raise ValueError("one reading says nothing about its own scatter")
    sd = np.std(values, axis=-1, ddof=1)
    return TypeA(np.mean(values, axis=-1), sd, sd / count**0.5)


def sd_at_level(half_width: npt.ArrayLike, level: float) -> FloatArray:
    """Standard deviation of what is stated to lie within limits at a level (GUM 4.3.4).

    Raises
    ------
    ValueError
        If the level does not lie between 0 and 1.
    """
    if not 0.0 < level < 1.0:
        raise ValueError("a level of confidence lies between 0 and 1")
    return _divided(half_width, NormalDist().inv_cdf(0.5 * (1.0 + level)))


def sd_within(half_width: npt.ArrayLike) -> FloatArray:
    """Standard deviation of what lies evenly within limits, a / sqrt 3 (GUM 4.3.7)."""
    return _divided(half_width, 3.0**0.5)


def sd_of_step(step: npt.ArrayLike) -> FloatArray:
    """Standard deviation of a reading rounded to a step, step / sqrt 12 (GUM F.2.2.1)."""
    return _divided(step, 12.0**0.5)


def sd_of_swing(half_width: npt.ArrayLike) -> FloatArray:
    """Standard deviation of what swings between limits as a sine, a / sqrt 2 (GUM H.1.3.4)."""
    return _divided(half_width, 2.0**0.5)


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
