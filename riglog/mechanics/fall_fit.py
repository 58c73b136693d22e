"""A fall that was guessed at, fitted as a free swing over as many swings as nobody touched."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.mechanics.elliptic import K_HALF
from riglog.mechanics.fall_guess import LEAST_FALL, MOST_FALL, NoFall
from riglog.mechanics.free_swing import (  # fmt: skip
    FRICTION,
    LOG_SPEED,
    OFFSET,
    RELEASE,
    Fitted,
    Prior,
    Samples,
    drop_of,
    fit,
)
from riglog.mechanics.trace_signal import LEAST_NOISE, STILL_S

if TYPE_CHECKING:
    from riglog.mechanics.arrays import BoolArray, FloatArray
    from riglog.mechanics.fall_guess import Guess
    from riglog.mechanics.trace_signal import Trace

_DEG = np.pi / 180.0
# Upright lies about where the sensor is told to call it so, and a release about where it is told.
_ASIDE, MOST_ASIDE = 8.0 * _DEG, 30.0 * _DEG
_RATE_BIAS_SD = 0.05  # [rad/s]
_FRICTION, _FRICTION_SD, _MOST_FRICTION = 0.03, 0.05, 0.25  # of M g r: common practice, no source
# Left alone it hangs upright as near as friction lets it; a rate's integral drifts.
_HANGS_SD, _DRIFT = 1.5 * _DEG, 0.05 * _DEG  # [rad], [rad/s]
_HANGS = 20.0 * _DEG
# Of the hold, so much goes into the fit [s].
_HOLD = 1.0
# Residuals may be so many times the noise, or so large [rad]: cables drag, and air.
_NOISES, _SLACK = 3.0, 0.6 * _DEG
_WORSE, _WORSE_AT_END = 1.15, 1.6
# Where the fit may end: parts of the drop behind upright, then turns.
_PARTS, _MOST_SWINGS = (0.0, 0.15, 0.3, 0.5, 0.7), 4


class Fall(NamedTuple):
    """A drop found.

    ``release_s`` and ``upright_s`` are times of the trace, ``drop_s`` is what lies between and
    ``sd_s`` its standard deviation, ``release_rad`` the lean at the release from where it hangs.
    ``friction`` is the torque at the pivot over M g r, ``friction_sd`` its standard deviation.
    ``period_s`` is that of very small swings. ``swings`` counts the half swings taken in after it
    passed upright; with none, upright is where the sensor calls it so.
    """

    release_s: float
    upright_s: float
    drop_s: float
    sd_s: float
    release_rad: float
    friction: float
    friction_sd: float
    period_s: float
    swings: int


def fitted(trace: Trace, place: int, guess: Guess) -> tuple[Fall | NoFall, float]:
    """The free swing that the samples lie on, over as many swings as nobody touched."""
    prior, start = _prior(trace, guess)
    best: Fitted | None = None
    swings, end = 0, guess.upright_s
    for until, count in _ends(trace, place, guess):
        window = _window(trace, guess, until)
        begin = start if best is None else best.parameters
        found = fit(window, guess.side, prior, begin, trace.noise)
        if found is None or not _lies_on(trace, found, best, window.time_s > end):
            break
        best, swings, end = found, count, until
    if best is None or not _possible(trace, best):
        return _misfit(trace, guess), 0.0
    return _fall(best, swings), end


def _ends(trace: Trace, place: int, guess: Guess) -> list[tuple[float, int]]:
    """Times up to which to fit, with the half swings behind upright that are done by then."""
    turns = trace.time[trace.turns[place + 1 :][:_MOST_SWINGS]]
    parts = [guess.upright_s + part * guess.drop_s for part in _PARTS]
    early = [(part, 0) for part in parts if part < turns[0]]
    later = [turn for turn in map(float, turns) if turn > guess.upright_s + 0.5 * guess.drop_s]
    return early + [(turn, count) for count, turn in enumerate(later, start=1)]


def _prior(trace: Trace, guess: Guess) -> tuple[Prior, FloatArray]:
    """What is believed before, and where the search begins."""
    log_speed = float(np.log(K_HALF / guess.drop_s))
    hangs = _hangs(trace, guess)
    if trace.kind == "angle":
        # The hold tells the release together with what is shown upright.
        lean, lean_sd = guess.lean, 10.0
        offset, offset_sd = hangs or (trace.upright, _ASIDE)
    else:
        offset, offset_sd = trace.bias, _RATE_BIAS_SD
        level, lean_sd = hangs or (guess.held - guess.side * trace.release, _ASIDE)
        lean = guess.side * (guess.held - level)
    mean = np.array([guess.release_s, log_speed, _FRICTION, lean, offset])
    return Prior(mean, np.array([10.0, 10.0, _FRICTION_SD, lean_sd, offset_sd])), mean


def _hangs(trace: Trace, guess: Guess) -> tuple[float, float] | None:
    """What the angle is where the rig was left hanging, nearest in time, and how sure."""
    lean = guess.side * (guess.held - trace.angle)
    there = trace.still & (np.abs(lean - guess.lean) < _HANGS)
    if not there.any():
        return None
    apart = np.abs(trace.time - guess.release_s)
    near = there & (apart <= apart[there].min() + STILL_S)
    drift = _DRIFT * float(apart[near].max()) if trace.kind == "rate" else 0.0
    return float(np.median(trace.angle[near])), float(np.hypot(_HANGS_SD, drift))


def _window(trace: Trace, guess: Guess, until: float) -> Samples:
    # A hand comes to rest in the first half of a short hold.
    held = guess.release_s - float(trace.time[guess.first])
    begin = guess.release_s - min(_HOLD, 0.5 * held)
    inside = (trace.time >= begin) & (trace.time <= until)
    return Samples(trace.time[inside], trace.shown[inside], trace.kind)


def _lies_on(trace: Trace, found: Fitted, before: Fitted | None, added: BoolArray) -> bool:
    """Whether samples lie on a free swing, those that were taken in last too."""
    slack = _SLACK
    if trace.kind == "rate":
        slack *= float(np.exp(found.parameters[LOG_SPEED]))
    if found.rms > max(_NOISES * trace.noise, slack):
        return False
    if before is None:
        return True
    usual = max(before.rms, trace.noise)
    last = found.residual[added]
    at_end = float(np.sqrt(np.mean(np.square(last)))) if last.size else 0.0
    return found.rms <= _WORSE * usual and at_end <= _WORSE_AT_END * usual


def _possible(trace: Trace, found: Fitted) -> bool:
    release, offset = found.parameters[RELEASE], found.parameters[OFFSET]
    if found.parameters[FRICTION] > _MOST_FRICTION:
        return False
    if trace.kind == "angle":
        aside = abs(offset - trace.upright) <= MOST_ASIDE
        return bool(aside and LEAST_FALL < release < MOST_FALL)
    return bool(abs(release - trace.release) <= _HANGS)


def _misfit(trace: Trace, guess: Guess) -> NoFall:
    """No free swing; an angle held to the last bit was clipped."""
    held = trace.shown[guess.first : guess.depart + 1]
    alike = float(np.mean(held == guess.side * np.max(guess.side * held)))
    if trace.kind == "angle" and trace.noise > LEAST_NOISE and alike > 0.5:
        return NoFall(guess.depart, "clipped", float(guess.held))
    return NoFall(guess.depart, "by-hand")


def _fall(found: Fitted, swings: int) -> Fall:
    drop, sd = drop_of(found)
    start, log_speed, friction, release, _ = map(float, found.parameters)
    return Fall(
        release_s=start,
        upright_s=start + drop,
        drop_s=drop,
        sd_s=sd,
        release_rad=release,
        friction=friction,
        friction_sd=float(found.covariance[FRICTION, FRICTION]) ** 0.5,
        period_s=float(2.0 * np.pi / np.exp(log_speed)),
        swings=swings,
    )
