"""Neutral mark and radius of gyration from drop times at marks of one build, and nothing else.

Marks are positions of the pivot along the rig, up positive; the caller knows his scale. A build
hung the usual way stands at d = mark - neutral above its center of gravity; hung the other way up
(``inverted``), with the pivot below neutral, at d = neutral - mark. With the swing factor C of
the release and the stop line,

    1 / T^2 = g d / (C^2 (k^2 + d^2)),

which near neutral is straight in d: a reading of 1 / T^2 is a reading of the height. Unlike the
height itself it also has a value at and beyond the shortest drop.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray, floats
from riglog.mechanics.pendulum import HORIZONTAL, swing_factor
from riglog.mechanics.pivot import height_gradient
from riglog.mechanics.readings import least_squares

_STEPS = 200
_SETTLED = 1e-9  # of k
_USUAL_K = 0.3  # [m]
_LONGEST = 5.0  # times the time that was measured


class MarksFit(NamedTuple):
    """What drop times at marks say.

    Attributes
    ----------
    neutral_m : (...,) array [m]
        Mark at which the pivot is level with the center of gravity.
    gyration_m : (...,) array [m]
        Radius of gyration k about the center of gravity.
    covariance : (..., 2, 2) array [m^2]
        Of (neutral, k). Marks too close to tell show here, as a k known to no better than
        itself.
    chi2 : (...,) array
        Sum of the squared scores of the readings, and of the prior if there was one.
    """

    neutral_m: FloatArray
    gyration_m: FloatArray
    covariance: FloatArray
    chi2: FloatArray


class WantedMark(NamedTuple):
    """Mark for a wanted drop time and its standard deviation, (...,) each [m]."""

    mark_m: FloatArray
    sd_m: FloatArray


def fit_marks(
    marks_m: npt.ArrayLike,
    drop_s: npt.ArrayLike,
    sd_mark_m: npt.ArrayLike,
    sd_time_s: npt.ArrayLike,
    *,
    inverted: npt.ArrayLike = False,
    prior_gyration_m: tuple[float, float] | None = None,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> MarksFit:
    """Neutral mark and k by least squares from drop times at marks of one build.

    Each reading weighs with the variance sd_mark^2 + (dd/dT sd_time)^2 as a height, taken at the
    time that the fit predicts and not at the one measured: a long time read too long would else
    count for more than the same time read too short.

    Parameters
    ----------
    marks_m : (..., n) array [m]
        Up positive. Repeats at one setting share its error: give their mean, once.
    drop_s : (..., n) array [s]
    sd_mark_m : (..., n) array [m]
        How well each mark was set.
    sd_time_s : (..., n) array [s]
        Of each drop time given, positive.
    inverted : (..., n) array of bool
        True where the build hung the other way up, the pivot below its neutral mark.
    prior_gyration_m : (mean, sd) [m], optional
        What was known of k before. With it, one mark is enough.
    release_rad, stop_rad : (..., n) array [rad]
    gravity : (..., n) array [m/s^2]

    Returns
    -------
    MarksFit

    Raises
    ------
    ValueError
        If there is one mark and no prior, or no rig has these times.

    References
    ----------
    Gauss-Newton from the exact solution in L = g T^2 / C^2, where
    mark^2 - s L mark = (2 mark - s L) neutral - (neutral^2 + k^2) is linear, s = -1 if inverted.
    """
    per_square = floats(gravity) / swing_factor(floats(release_rad), floats(stop_rad)) ** 2
    problem = _problem(
        marks_m, drop_s, sd_mark_m, sd_time_s, np.where(inverted, -1.0, 1.0), per_square
    )
    if problem.mark.shape[-1] < 2 and prior_gyration_m is None:
        raise ValueError("one mark needs to be told k")
    neutral, k = _seed(problem, prior_gyration_m)
    for turn in range(_STEPS):
        step, covariance, chi2 = _gauss_newton(problem, prior_gyration_m, neutral, k)
        # A step is held to half of k, over which 1 / T^2 bends, and halved where the weights,
        # which move along with the fit, keep it going round.
        whole = 1.0 if turn < _STEPS // 2 else 0.5
        share = np.minimum(whole, 0.5 * k / np.maximum(np.max(abs(step), axis=-1), 1e-300))
        neutral, k = neutral + share * step[..., 0], k + share * step[..., 1]
        if np.all(abs(step) <= _SETTLED * k[..., None]):
            return MarksFit(neutral, k, covariance, chi2)
    raise ValueError(
        "no rig has these times: they must fall as the mark rises, by more than they scatter"
    )


def wanted_mark(
    fit: MarksFit,
    drop_s: npt.ArrayLike,
    *,
    release_rad: npt.ArrayLike = HORIZONTAL,
    stop_rad: npt.ArrayLike = 0.0,
    gravity: npt.ArrayLike = STANDARD_GRAVITY,
) -> WantedMark:
    """Mark at which a fitted build has a wanted drop time, neutral + d(T, k).

    Its variance is that of neutral and k together, which err in opposite directions: J C J^T with
    J = (1, 2 k dd/dk2).

    Parameters
    ----------
    fit : MarksFit
        Fields (...,).
    drop_s : (...,) array [s]
    release_rad, stop_rad : (...,) array [rad]
    gravity : (...,) array [m/s^2]

    Raises
    ------
    ValueError
        If no mark gives so short a drop.
    """
    k = fit.gyration_m
    height = height_gradient(
        drop_s, k * k, release_rad=release_rad, stop_rad=stop_rad, gravity=gravity
    )
    per_k = 2.0 * k * height.per_k2
    c = fit.covariance
    variance = c[..., 0, 0] + 2.0 * per_k * c[..., 0, 1] + per_k * per_k * c[..., 1, 1]
    return WantedMark(fit.neutral_m + height.d_m, variance**0.5)


class _Problem(NamedTuple):
    """Readings (..., n): ``sign`` is -1 where inverted, ``per_square`` g / C^2."""

    mark: FloatArray
    time: FloatArray
    sd_mark: FloatArray
    sd_time: FloatArray
    sign: FloatArray
    per_square: FloatArray


def _problem(*fields: npt.ArrayLike) -> _Problem:
    problem = _Problem(*np.broadcast_arrays(*(np.atleast_1d(floats(field)) for field in fields)))
    if not np.all(np.isfinite(problem.mark) & (problem.time > 0.0) & (problem.time < np.inf)):
        raise ValueError("marks must be finite and drop times positive")
    if not np.all((problem.sd_time > 0.0) & (problem.sd_mark >= 0.0)):
        raise ValueError("deviations must be positive")
    return problem


def _seed(problem: _Problem, prior: tuple[float, float] | None) -> tuple[FloatArray, FloatArray]:
    """Neutral mark and k near enough for Gauss-Newton."""
    mark, length = problem.mark, problem.sign * problem.per_square * problem.time**2
    if prior is not None:
        # Near neutral d = k^2 / L; for a first guess the far side does not matter.
        k = np.full(mark.shape[:-1], prior[0])
        return np.mean(mark - (k * k)[..., None] / length, axis=-1), k
    middle = np.mean(mark, axis=-1, keepdims=True)
    at = mark - middle
    design = np.stack([2.0 * at - length, -np.ones(at.shape)], axis=-1)
    line = least_squares(design, at * at - length * at, np.ones(at.shape)).parameters
    k2 = line[..., 1] - line[..., 0] ** 2
    sound = k2 > 0.0
    # Where noise hides k, start from that of a usual rig and let the readings pull.
    k = np.where(sound, abs(k2) ** 0.5, _USUAL_K)
    far = np.mean(at - (k * k)[..., None] / length, axis=-1)
    return middle[..., 0] + np.where(sound, line[..., 0], far), k


def _gauss_newton(
    problem: _Problem, prior: tuple[float, float] | None, neutral: FloatArray, k: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Step (..., 2) in (neutral, k) from where they are, covariance and sum of squares there."""
    k = k[..., None]
    d, measured = problem.sign * (problem.mark - neutral[..., None]), problem.time**-2.0
    i2 = k * k + d * d
    predicted = problem.per_square * d / i2
    per_d = problem.per_square * (k * k - d * d) / (i2 * i2)
    # A mark that the fit takes to be top heavy has no time; it counts as a very long one.
    usual = np.maximum(predicted, measured / _LONGEST**2)
    variance = (per_d * problem.sd_mark) ** 2 + 4.0 * usual**3 * problem.sd_time**2
    design = np.stack([-problem.sign * per_d, -2.0 * k * predicted / i2], axis=-1)
    values, sds = measured - predicted, variance**0.5
    if prior is not None:
        design = np.concatenate([design, np.broadcast_to([0.0, 1.0], (*k.shape, 2))], axis=-2)
        values = np.concatenate([values, prior[0] - k], axis=-1)
        sds = np.concatenate([sds, np.full(k.shape, prior[1])], axis=-1)
    step, covariance, _ = least_squares(design, values, sds)
    return step, covariance, np.sum((values / sds) ** 2, axis=-1)
