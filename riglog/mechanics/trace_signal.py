"""What a motion sensor showed: the angle that follows from it, and where that turns and rests."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.mechanics.readings import sd_of_step

if TYPE_CHECKING:
    from riglog.mechanics.arrays import BoolArray, FloatArray, IndexArray
    from riglog.mechanics.free_swing import Kind, Samples

_DEG = np.pi / 180.0
# Less is no turn of a swing [rad].
_TURN = 12.0 * _DEG
# A hold wavers by so much [rad].
WAVER = 2.0 * _DEG
# Hanging still lasts so long, at the least [s].
STILL_S = 0.4
_MOST_BIAS = 0.1  # [rad/s]
# No sensor is better than this [rad], [rad/s].
LEAST_NOISE = 1e-5


class Trace(NamedTuple):
    """What a sensor showed over n samples, and what follows from it.

    ``angle`` [rad] is what was shown, without jumps of full turns and about the ``upright`` that it
    was told; of rates the integral, less the ``bias`` [rad/s] at rest. ``noise`` is the standard
    deviation of a sample, ``turns`` the samples at which the angle turns, with the first and the
    last, and ``still`` (n,) those about which it rested. ``release`` [rad] is the lean at the
    release, about.
    """

    time: FloatArray
    shown: FloatArray
    kind: Kind
    angle: FloatArray
    bias: float
    noise: float
    turns: IndexArray
    still: BoolArray
    release: float
    upright: float

    @classmethod
    def of(cls, samples: Samples, release_rad: float, upright_rad: float) -> Trace:
        """What follows from samples; see ``traces.falls`` for the other two."""
        shown, bias = samples.shown, 0.0
        if samples.kind == "angle":
            shown = angle = _unwrapped(shown, upright_rad)
        else:
            bias = _at_rest(samples.time_s, shown)
            angle = _integral(samples.time_s, shown - bias)
        noise = _noise(shown)
        width = WAVER / 2 + (6.0 * noise if samples.kind == "angle" else 0.0)
        return cls(
            time=samples.time_s,
            shown=shown,
            kind=samples.kind,
            angle=angle,
            bias=bias,
            noise=noise,
            turns=_turns(angle),
            still=_still(samples.time_s, angle, width),
            release=release_rad,
            upright=upright_rad,
        )

    @property
    def angle_noise(self) -> float:
        """What the noise adds to the angle; an integral averages it out."""
        return self.noise if self.kind == "angle" else 0.0


def tilt_rate(rates: FloatArray) -> FloatArray:
    """Rate about the tilt axis, however the sensor lies: along which the rates vary most.

    Parameters
    ----------
    rates : (n, m) array [rad/s]
        About m axes of the sensor.

    Returns
    -------
    (n,) array [rad/s]
    """
    about = rates - np.median(rates, axis=0)
    axes = np.linalg.eigh(about.T @ about)[1]
    along: FloatArray = rates @ axes[:, -1]
    return along


def _unwrapped(shown: FloatArray, upright: float) -> FloatArray:
    """Angles without jumps of full turns, half of them about what is shown upright."""
    whole = np.unwrap(shown)
    angle: FloatArray = whole - 2.0 * np.pi * np.round((np.median(whole) - upright) / (2.0 * np.pi))
    return angle


def _noise(shown: FloatArray) -> float:
    """Standard deviation of a sample: from second differences, to which slow motion adds little."""
    spread = 1.4826 * float(np.median(np.abs(np.diff(shown, 2))) / np.sqrt(6.0))
    steps = np.abs(np.diff(shown))
    quantum = float(steps[steps > 0.0].min(initial=np.inf))
    rounded = float(sd_of_step(quantum)) if quantum < np.inf else 0.0
    return max(spread, rounded, LEAST_NOISE)


def _still(time: FloatArray, angle: FloatArray, width: float) -> BoolArray:
    """Samples about which the angle stayed within a width for a while."""
    count = max(int(STILL_S / np.median(np.diff(time))), 3)
    if len(angle) < count:
        return np.zeros(len(angle), dtype=np.bool_)
    windows = np.lib.stride_tricks.sliding_window_view(angle, count)
    steady = np.ptp(windows, axis=1) < width
    steady &= time[count - 1 :] - time[: len(time) - count + 1] < 2.0 * STILL_S
    found = np.zeros(len(angle), dtype=np.bool_)
    found[count // 2 : count // 2 + len(steady)] = steady
    return found


def _at_rest(time: FloatArray, rate: FloatArray) -> float:
    """What a rate sensor shows at rest: of steady stretches, what most agree on.

    A swing is steady at its fastest too, and then shows more than any sensor at rest.
    """
    width = max(int(0.25 / np.median(np.diff(time))), 3)
    if len(rate) < 2 * width:
        return float(np.median(rate))
    windows = np.lib.stride_tricks.sliding_window_view(rate, width)[:: max(width // 4, 1)]
    spread = windows.std(axis=1)
    steady = np.sort(windows.mean(axis=1)[spread <= 1.5 * np.quantile(spread, 0.1)])
    slow = steady[np.abs(steady) < _MOST_BIAS]
    steady = slow if slow.size else steady
    share = max(len(steady) // 4, 1)
    first = int(np.argmin(steady[share:] - steady[:-share])) if len(steady) > share else 0
    return float(np.median(steady[first : first + share + 1]))


def _integral(time: FloatArray, rate: FloatArray) -> FloatArray:
    """Angle since the first sample, by trapezoids."""
    pieces = 0.5 * np.diff(time) * (rate[1:] + rate[:-1])
    return np.concatenate([[0.0], np.cumsum(pieces)])


def _turns(angle: FloatArray) -> IndexArray:
    """Samples where the angle turns by more than a waver, with the first and the last."""
    turns, low, high, way = [0], 0, 0, 0
    for index, value in enumerate(angle.tolist()):
        low = index if value < angle[low] else low
        high = index if value > angle[high] else high
        if way >= 0 and angle[high] - value > _TURN:
            turns.append(high)
            low, way = index, -1
        elif way <= 0 and value - angle[low] > _TURN:
            turns.append(low)
            high, way = index, 1
    last = low if way < 0 else high
    return np.unique(np.array([*turns, last, len(angle) - 1], dtype=np.intp))
