"""A rig let go, fitted to what a sensor on it showed: when, how fast, and with what friction.

From rest at ``release`` the lean about where it hangs obeys, in time tau = w (t - t0),

    lean'' = -sin(lean) - s sign(lean'),

with w^2 = M g r / I and s the friction torque over M g r. So two numbers make the shape, and two
more place it in time; one more is the sensor's: where its angle counts from, or what its rate
shows at rest. All five are fitted at once, with the hold before the release, by least squares with
Huber's weights; their covariance is White's, which holds whatever the noise does along the way
(P. J. Huber, Ann. Math. Statist. 35 (1964) 73; H. White, Econometrica 48 (1980) 817).
"""

from __future__ import annotations

from math import sin
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from riglog.mechanics.arrays import FloatArray

Kind = Literal["angle", "rate"]

_STEP = 0.02  # of tau; fourth order, 1e-8 of the lean
_NUDGE = 1e-5
_ROUNDS = 12
_SETTLED = 1e-3  # of a standard deviation
_HUBER = 2.5
# Names of the parameters by place.
START, LOG_SPEED, FRICTION, RELEASE, OFFSET = range(5)


class Samples(NamedTuple):
    """What a sensor showed: times (n,) [s], increasing, and angles [rad] or rates [rad/s] (n,)."""

    time_s: FloatArray
    shown: FloatArray
    kind: Kind


class Prior(NamedTuple):
    """What is believed before: mean (5,) and standard deviation (5,) of the parameters."""

    mean: FloatArray
    sd: FloatArray


class Fitted(NamedTuple):
    """The parameters (5,), their covariance (5, 5), and residuals (n,) in the sensor's unit."""

    parameters: FloatArray
    covariance: FloatArray
    residual: FloatArray

    @property
    def rms(self) -> float:
        """Root mean square residual."""
        return float(np.sqrt(np.mean(np.square(self.residual))))


class Shape:
    """Lean, its speed and its change of speed over tau, for one release and friction."""

    def __init__(self, release: float, friction: float, last: float) -> None:
        self.lean, self.speed = _swing(release, friction, last)
        self.tau = _STEP * np.arange(len(self.lean))

    def at(self, tau: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Lean and speed; before the release at rest."""
        since = np.clip(tau, 0.0, self.tau[-1])
        index = np.minimum((since / _STEP).astype(np.intp), len(self.tau) - 2)
        share = since / _STEP - index
        return (
            _hermite(self.lean, self.speed, index, share),
            np.interp(since, self.tau, self.speed),
        )

    def first_pass(self) -> float:
        """The tau at which the lean is first zero; infinite if it never is."""
        below = np.flatnonzero(self.lean <= 0.0)
        if not below.size:
            return float("inf")
        index = int(below[0]) - 1
        share = float(self.lean[index] / (self.lean[index] - self.lean[index + 1]))
        for _ in range(4):
            here = _hermite(self.lean, self.speed, np.array([index]), np.array([share]))[0]
            slope = float(self.speed[index] + share * (self.speed[index + 1] - self.speed[index]))
            share -= here / (slope * _STEP)
        return _STEP * (index + share)


def _hermite(
    lean: FloatArray, speed: FloatArray, index: FloatArray, share: FloatArray
) -> FloatArray:
    left, right = lean[index], lean[index + 1]
    rise, fall = _STEP * speed[index], _STEP * speed[index + 1]
    cubic: FloatArray = left + share * (
        rise
        + share
        * (3.0 * (right - left) - 2.0 * rise - fall + share * (2.0 * (left - right) + rise + fall))
    )
    return cubic


def _swing(release: float, friction: float, last: float) -> tuple[FloatArray, FloatArray]:
    """Lean and speed at every step up to ``last``.

    In plain figures: a step is a dozen operations, too few for arrays. Friction changes its sign
    at each turn, so a step is cut there; where it holds the rig at a turn, the rig stays.
    """
    lean, speed, against = release, 0.0, friction  # it falls towards smaller leans first
    leans, speeds = [lean], [speed]
    for _ in range(int(last / _STEP) + 2):
        before, left = speed, _STEP
        lean_there, speed = _step(lean, speed, against, left)
        if before * speed < 0.0:
            part = left * before / (before - speed)
            lean = _step(lean, before, against, part)[0]
            left, against = left - part, -against
            if abs(sin(lean)) <= abs(friction):
                return _stay(leans, speeds, lean, int(last / _STEP) + 3)
            lean_there, speed = _step(lean, 0.0, against, left)
        lean = lean_there
        leans.append(lean)
        speeds.append(speed)
    return np.array(leans), np.array(speeds)


def _stay(
    leans: list[float], speeds: list[float], lean: float, count: int
) -> tuple[FloatArray, FloatArray]:
    rest = count - len(leans)
    return np.array(leans + [lean] * rest), np.array(speeds + [0.0] * rest)


def _step(lean: float, speed: float, against: float, step: float) -> tuple[float, float]:
    """A step of Runge and Kutta's fourth order."""
    half = 0.5 * step
    k1 = against - sin(lean)
    v2 = speed + half * k1
    k2 = against - sin(lean + half * speed)
    v3 = speed + half * k2
    k3 = against - sin(lean + half * v2)
    v4 = speed + step * k3
    k4 = against - sin(lean + step * v3)
    return (
        lean + step * (speed + 2.0 * (v2 + v3) + v4) / 6.0,
        speed + step * (k1 + 2.0 * (k2 + k3) + k4) / 6.0,
    )


class _Model:
    """What the sensor would show, and how that changes with each parameter."""

    def __init__(self, samples: Samples, side: float, parameters: FloatArray) -> None:
        start, log_speed, friction, release, offset = map(float, parameters)
        self.w = float(np.exp(log_speed))
        self.tau = self.w * (samples.time_s - start)
        last = max(float(self.tau[-1]), 1.0)
        self._fallen = self.tau > 0.0
        base = Shape(release, friction, last)
        nudged = (Shape(release + _NUDGE, friction, last), Shape(release, friction + _NUDGE, last))
        self.lean, self.speed = base.at(self.tau)
        others = [shape.at(self.tau) for shape in nudged]
        if samples.kind == "angle":
            shown, columns = self.lean, self._of_angle([lean for lean, _ in others])
        else:
            speeds = [speed for _, speed in others]
            shown, columns = self.w * self.speed, self._of_rate(friction, speeds)
        self.shown = offset + side * shown
        self.jacobian = np.column_stack(
            [side * column for column in columns] + [np.ones(len(shown))]
        )

    def _of_angle(self, nudged: list[FloatArray]) -> list[FloatArray]:
        per_release, per_friction = ((lean - self.lean) / _NUDGE for lean in nudged)
        moving = np.where(self._fallen, self.speed, 0.0)
        return [-self.w * moving, self.tau * moving, per_friction, per_release]

    def _of_rate(self, friction: float, nudged: list[FloatArray]) -> list[FloatArray]:
        per_release, per_friction = (self.w * (speed - self.speed) / _NUDGE for speed in nudged)
        against = np.where(self.speed <= 0.0, friction, -friction)
        gain = np.where(self._fallen, against - np.sin(self.lean), 0.0)
        return [
            -(self.w**2) * gain,
            self.w * (np.where(self._fallen, self.speed, 0.0) + self.tau * gain),
            per_friction,
            per_release,
        ]


def fit(
    samples: Samples, side: float, prior: Prior, start: FloatArray, noise: float
) -> Fitted | None:
    """The free swing that fits best.

    Parameters
    ----------
    samples
        The hold before the release, and the swing as long as nobody touched it.
    side
        1 where the sensor shows more at the release than at rest, else -1.
    prior
        What is believed of start [s], log of w [1/s], friction, release [rad], offset.
    start : (5,) array
        Where to begin.
    noise
        Standard deviation of a sample, to begin with, in its unit.

    Returns
    -------
    Fitted or None
        None where the search leaves what any rig does.
    """
    theta, precision = np.array(start, dtype=np.float64), np.diag(prior.sd**-2.0)
    damping, model, scale = 1e-3, _Model(samples, side, theta), noise
    for _ in range(_ROUNDS):
        residual, off = samples.shown - model.shown, prior.mean - theta
        scale = max(noise, 1.4826 * float(np.median(np.abs(residual))))
        weight = _weights(residual, scale)
        normal = model.jacobian.T @ (weight[:, None] * model.jacobian) + precision
        slope = model.jacobian.T @ (weight * residual) + precision @ off
        step = np.linalg.solve(normal + damping * np.diag(np.diag(normal)), slope)
        if not _sensible(theta + step):
            damping = max(damping, 1e-3) * 30.0
            if damping > 1e6:
                return None
            continue
        tried = _Model(samples, side, theta + step)
        before = weight @ residual**2 + off @ precision @ off
        after = weight @ (samples.shown - tried.shown) ** 2 + (off - step) @ precision @ (
            off - step
        )
        if after > before * (1.0 + 1e-9):
            damping *= 30.0
            continue
        theta, model, damping = theta + step, tried, damping * 0.1
        if np.all(np.square(step) * np.diag(normal) < _SETTLED**2):
            break
    return _fitted(samples, model, theta, precision, scale)


def _weights(residual: FloatArray, scale: float) -> FloatArray:
    """Huber's, over the variance."""
    weights: FloatArray = np.minimum(1.0, _HUBER * scale / np.maximum(np.abs(residual), 1e-12))
    return weights / scale**2


def _sensible(theta: FloatArray) -> bool:
    return bool(
        np.all(np.isfinite(theta))
        and abs(theta[LOG_SPEED]) < 4.0
        and -0.5 < theta[FRICTION] < 0.9
        and 0.05 < theta[RELEASE] < 3.1
    )


def _fitted(
    samples: Samples, model: _Model, theta: FloatArray, precision: FloatArray, scale: float
) -> Fitted:
    residual = samples.shown - model.shown
    weight = _weights(residual, scale)
    bread = np.linalg.inv(model.jacobian.T @ (weight[:, None] * model.jacobian) + precision)
    scores = model.jacobian * (weight * residual)[:, None]
    free = len(residual) / max(len(residual) - len(theta), 1)
    covariance = bread @ (free * scores.T @ scores + precision) @ bread
    return Fitted(theta, covariance, residual)


def drop_of(fitted: Fitted) -> tuple[float, float]:
    """Time from the release to the first pass through rest, and its standard deviation [s]."""
    _, log_speed, friction, release, _ = map(float, fitted.parameters)
    w = float(np.exp(log_speed))
    passes = [
        Shape(release + by, friction + more, 12.0).first_pass()
        for by, more in ((0.0, 0.0), (_NUDGE, 0.0), (0.0, _NUDGE))
    ]
    time_s = float(passes[0]) / w
    slope = np.zeros(5)
    slope[LOG_SPEED] = -time_s
    slope[RELEASE] = (passes[1] - passes[0]) / _NUDGE / w
    slope[FRICTION] = (passes[2] - passes[0]) / _NUDGE / w
    return time_s, float(np.sqrt(slope @ fitted.covariance @ slope))
