"""Drops found in what a motion sensor on the rig showed.

A drop is a fall from a hold through where the rig hangs. Turning points tell where falls may be;
each is fitted as a free swing (``free_swing``) and believed if the samples lie on it: a rig that
was laid over, or led down by hand, does not move so. The swings after it are taken in for as long
as nobody touched it; they tell where it hangs, and its friction.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

from riglog.mechanics.elliptic import K_HALF
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
from riglog.mechanics.readings import sd_of_step

if TYPE_CHECKING:
    from riglog.mechanics.arrays import BoolArray, FloatArray, IndexArray

_DEG = np.pi / 180.0
# Less is no turn of a swing, and no fall [rad].
_TURN, _LEAST_FALL, _MOST_FALL = 12.0 * _DEG, 20.0 * _DEG, 150.0 * _DEG
# A hold wavers by so much [rad].
_WAVER = 2.0 * _DEG
# Upright lies about where the sensor is told to call it so, and a release about where it is told.
_ASIDE, _MOST_ASIDE = 8.0 * _DEG, 30.0 * _DEG
_RATE_BIAS_SD, _MOST_BIAS = 0.05, 0.1  # [rad/s]
_FRICTION, _FRICTION_SD, _MOST_FRICTION = 0.03, 0.05, 0.25  # of M g r: common practice, no source
# Left alone it hangs upright as near as friction lets it; a rate's integral drifts.
_HANGS_SD, _DRIFT = 1.5 * _DEG, 0.05 * _DEG  # [rad], [rad/s]
_HANGS, _STILL_S = 20.0 * _DEG, 0.4
# Of the hold, so much goes into the fit [s]; with less than the least nothing shows a release.
_HOLD, _LEAST_HOLD = 1.0, 0.3
_FEWEST = 4
# A fall from horizontal has this share of its time left when a quarter of the way is done.
_AFTER_QUARTER = 0.522
# Of a drop, a gap of this share leaves too little; as long a stuck value says that it was clipped.
_GAP, _STUCK = 0.25, 0.15
# Residuals may be so many times the noise, or so large [rad]: cables drag, and air.
_NOISES, _SLACK = 3.0, 0.6 * _DEG
_WORSE, _WORSE_AT_END = 1.15, 1.6
# Where the fit may end: parts of the drop behind upright, then turns.
_PARTS, _MOST_SWINGS = (0.0, 0.15, 0.3, 0.5, 0.7), 4

Why = Literal["no-hold", "no-upright", "gap", "clipped", "by-hand", "upside-down"]


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


class NoFall(NamedTuple):
    """A motion that might have been a drop: at which sample it is none, and why."""

    sample: int
    why: Why
    figure: float = 0.0


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


def falls(
    samples: Samples, *, release_rad: float = np.pi / 2, upright_rad: float = 0.0
) -> list[Fall | NoFall]:
    """Every drop of a trace, and every motion that was nearly one, in their order.

    Parameters
    ----------
    samples
        Angles, unwrapped or not, or rates about the tilt axis.
    release_rad
        Lean at the release, about; for rates, which do not tell where upright is.
    upright_rad
        What an angle sensor shows where the rig hangs, about.

    Returns
    -------
    list of Fall or NoFall

    Raises
    ------
    ValueError
        If there are fewer than ten samples, or times do not increase.
    """
    if len(samples.time_s) < 10 or not np.all(np.diff(samples.time_s) > 0.0):
        raise ValueError("a trace has ten samples or more, and times that increase")
    trace = _Trace(samples, release_rad, upright_rad)
    found: list[Fall | NoFall] = []
    until = -np.inf
    for place in range(len(trace.turns) - 1):
        if trace.time[trace.turns[place]] >= until:
            each, end = trace.motion(place)
            found.extend([each] if each else [])
            until = end if isinstance(each, Fall) else until
    if not any(isinstance(each, Fall) for each in found):
        found.extend(trace.elsewhere())
    return found


class _Guess(NamedTuple):
    """A fall before it is fitted: its way, and what was seen of the hold before it."""

    first: int
    depart: int
    side: float
    held: float
    lean: float
    release_s: float
    upright_s: float

    @property
    def drop_s(self) -> float:
        return self.upright_s - self.release_s


class _Trace:
    """A trace, its angle and where that turns."""

    def __init__(self, samples: Samples, release_rad: float, upright_rad: float) -> None:
        self.time, self.kind = samples.time_s, samples.kind
        self.release, self.upright, self.bias = release_rad, upright_rad, 0.0
        if samples.kind == "angle":
            shown = np.unwrap(samples.shown)
            around = np.round((np.median(shown) - upright_rad) / (2.0 * np.pi))
            self.shown = self.angle = shown - 2.0 * np.pi * around
        else:
            self.shown = samples.shown
            self.bias = _at_rest(self.time, self.shown)
            self.angle = _integral(self.time, self.shown - self.bias)
        self.noise = _noise(self.shown)
        self.turns = _turns(self.angle)
        self.still = _still(self.time, self.angle, _WAVER / 2 + 6.0 * self._angle_noise)

    def motion(self, place: int) -> tuple[Fall | NoFall | None, float]:
        """What begins at a turn, and the time [s] up to which it was taken in."""
        guess = self._guess(place)
        if not isinstance(guess, _Guess):
            return guess, 0.0
        doubt = self._doubt(place, guess)
        if doubt is not None:
            return (None if doubt.why == "by-hand" else doubt), 0.0
        return self._fitted(place, guess)

    def elsewhere(self) -> list[NoFall]:
        """The widest swing, if it is about something that is not upright."""
        widths = np.abs(np.diff(self.angle[self.turns]))
        if self.kind == "rate" or not widths.size or widths.max() < 2.0 * _LEAST_FALL:
            return []
        place = int(np.argmax(widths))
        first, last = self.turns[place : place + 2]
        middle = 0.5 * float(self.angle[first] + self.angle[last])
        far = abs(middle - self.upright) > 1.5 * _MOST_ASIDE
        return [NoFall(int(first), "upside-down", middle)] if far else []

    def _guess(self, place: int) -> _Guess | NoFall | None:
        """When it was let go, from where it stood a quarter of the way and all of it later."""
        first, last = map(int, self.turns[place : place + 2])
        side = float(np.sign(self.angle[first] - self.angle[last]))
        begin, depart = self._band(first, last, side)
        held = float(np.median(self.angle[begin : depart + 1]))
        lean = side * (held - self.upright) if self.kind == "angle" else self.release
        if not _LEAST_FALL < lean < _MOST_FALL:
            return None
        fallen = side * (held - self.angle[depart : last + 1])
        quarter, whole = (np.flatnonzero(fallen >= share * lean) for share in (0.25, 1.0))
        if not whole.size:
            ends = last == len(self.time) - 1 and fallen[-1] > 0.25 * lean
            return NoFall(last, "no-upright") if ends else None
        upright = float(self.time[depart + whole[0]])
        drop = (upright - float(self.time[depart + quarter[0]])) / _AFTER_QUARTER
        return _Guess(begin, depart, side, held, lean, upright - drop, upright)

    @property
    def _angle_noise(self) -> float:
        return self.noise if self.kind == "angle" else 0.0

    def _band(self, first: int, last: int, side: float) -> tuple[int, int]:
        """First and last sample of the hold about a turn."""
        width = _WAVER + 6.0 * self._angle_noise
        outside = side * (self.angle[first] - self.angle) > width
        before = np.flatnonzero(outside[:first])
        behind = np.flatnonzero(outside[first : last + 1])
        return (
            int(before[-1]) + 1 if before.size else 0,
            first + int(behind[0]) - 1 if behind.size else last,
        )

    def _doubt(self, place: int, guess: _Guess) -> NoFall | None:
        """Why it is not worth a fit: a swing that merely turned there is none of anyone's."""
        if self.kind == "rate" and (clipped := self._clipped(guess)):
            return clipped
        if place and self._merely_turns(place, guess):
            return NoFall(guess.first, "by-hand")
        hold = guess.release_s - float(self.time[guess.first])
        count = int(np.sum(self.time[guess.first :] < guess.release_s))
        if hold < _LEAST_HOLD or count < _FEWEST:
            return NoFall(guess.first, "no-hold")
        inside = (self.time >= guess.release_s) & (self.time <= guess.upright_s)
        steps = np.diff(self.time[inside], prepend=guess.release_s, append=guess.upright_s)
        if steps.max() > _GAP * guess.drop_s:
            return NoFall(int(np.flatnonzero(inside)[0] + np.argmax(steps)) - 1, "gap", steps.max())
        return None

    def _merely_turns(self, place: int, guess: _Guess) -> bool:
        """Whether it came from the other side and was never held: a swing.

        About a free turn the angle is a parabola, about a release half of one.
        """
        came = float(np.ptp(self.angle[self.turns[place - 1 : place + 1]]))
        if came < 1.2 * guess.lean:
            return False
        begin = float(self.time[guess.first])
        begin += 0.25 * max(guess.release_s - begin, 0.0)
        near = (self.time >= begin) & (self.time <= self.time[guess.depart])
        if np.sum(near) < 2 * _FEWEST:
            return True
        time, angle = self.time[near] - begin, self.angle[near]
        starts = np.linspace(0.0, time[-1], 24, endpoint=False)
        let_go = min(_off(angle, np.maximum(time - start, 0.0) ** 2) for start in starts)
        return _off(angle, time, time**2) < let_go

    def _clipped(self, guess: _Guess) -> NoFall | None:
        """Whether the sensor stood at the end of its range during the fall."""
        inside = np.flatnonzero(
            (self.time >= guess.release_s) & (self.time <= guess.upright_s + 0.5 * guess.drop_s)
        )
        extreme = np.max(-guess.side * self.shown[inside])
        stuck = inside[-guess.side * self.shown[inside] == extreme]
        run = max(np.split(stuck, np.flatnonzero(np.diff(stuck) != 1) + 1), key=len)
        lasts = float(self.time[run[-1]] - self.time[run[0]])
        if len(run) >= _FEWEST and lasts > _STUCK * guess.drop_s:
            return NoFall(int(run[0]), "clipped", float(self.shown[run[0]]))
        return None

    def _fitted(self, place: int, guess: _Guess) -> tuple[Fall | NoFall, float]:
        """The free swing that the samples lie on, over as many swings as nobody touched."""
        prior, start = self._prior(guess)
        best: Fitted | None = None
        swings, end = 0, guess.upright_s
        for until, count in self._ends(place, guess):
            window = self._window(guess, until)
            begin = start if best is None else best.parameters
            found = fit(window, guess.side, prior, begin, self.noise)
            if found is None or not self._lies_on(found, best, window.time_s > end):
                break
            best, swings, end = found, count, until
        if best is None or not self._possible(best):
            return self._misfit(guess), 0.0
        return _fall(best, swings), end

    def _ends(self, place: int, guess: _Guess) -> list[tuple[float, int]]:
        """Times up to which to fit, with the half swings behind upright that are done by then."""
        turns = self.time[self.turns[place + 1 :][:_MOST_SWINGS]]
        parts = [guess.upright_s + part * guess.drop_s for part in _PARTS]
        early = [(part, 0) for part in parts if part < turns[0]]
        later = [turn for turn in map(float, turns) if turn > guess.upright_s + 0.5 * guess.drop_s]
        return early + [(turn, count) for count, turn in enumerate(later, start=1)]

    def _prior(self, guess: _Guess) -> tuple[Prior, FloatArray]:
        """What is believed before, and where the search begins."""
        log_speed = float(np.log(K_HALF / guess.drop_s))
        hangs = self._hangs(guess)
        if self.kind == "angle":
            # The hold tells the release together with what is shown upright.
            lean, lean_sd = guess.lean, 10.0
            offset, offset_sd = hangs or (self.upright, _ASIDE)
        else:
            offset, offset_sd = self.bias, _RATE_BIAS_SD
            level, lean_sd = hangs or (guess.held - guess.side * self.release, _ASIDE)
            lean = guess.side * (guess.held - level)
        mean = np.array([guess.release_s, log_speed, _FRICTION, lean, offset])
        return Prior(mean, np.array([10.0, 10.0, _FRICTION_SD, lean_sd, offset_sd])), mean

    def _hangs(self, guess: _Guess) -> tuple[float, float] | None:
        """What the angle is where the rig was left hanging, nearest in time, and how sure."""
        lean = guess.side * (guess.held - self.angle)
        there = self.still & (np.abs(lean - guess.lean) < _HANGS)
        if not there.any():
            return None
        apart = np.abs(self.time - guess.release_s)
        near = there & (apart <= apart[there].min() + _STILL_S)
        drift = _DRIFT * float(apart[near].max()) if self.kind == "rate" else 0.0
        return float(np.median(self.angle[near])), float(np.hypot(_HANGS_SD, drift))

    def _window(self, guess: _Guess, until: float) -> Samples:
        # A hand comes to rest in the first half of a short hold.
        held = guess.release_s - float(self.time[guess.first])
        begin = guess.release_s - min(_HOLD, 0.5 * held)
        inside = (self.time >= begin) & (self.time <= until)
        return Samples(self.time[inside], self.shown[inside], self.kind)

    def _lies_on(self, found: Fitted, before: Fitted | None, added: BoolArray) -> bool:
        """Whether samples lie on a free swing, those that were taken in last too."""
        slack = _SLACK
        if self.kind == "rate":
            slack *= float(np.exp(found.parameters[LOG_SPEED]))
        if found.rms > max(_NOISES * self.noise, slack):
            return False
        if before is None:
            return True
        usual = max(before.rms, self.noise)
        last = found.residual[added]
        at_end = float(np.sqrt(np.mean(np.square(last)))) if last.size else 0.0
        return found.rms <= _WORSE * usual and at_end <= _WORSE_AT_END * usual

    def _possible(self, found: Fitted) -> bool:
        release, offset = found.parameters[RELEASE], found.parameters[OFFSET]
        if found.parameters[FRICTION] > _MOST_FRICTION:
            return False
        if self.kind == "angle":
            aside = abs(offset - self.upright) <= _MOST_ASIDE
            return bool(aside and _LEAST_FALL < release < _MOST_FALL)
        return bool(abs(release - self.release) <= _HANGS)

    def _misfit(self, guess: _Guess) -> NoFall:
        """No free swing; an angle held to the last bit was clipped."""
        held = self.shown[guess.first : guess.depart + 1]
        alike = float(np.mean(held == guess.side * np.max(guess.side * held)))
        if self.kind == "angle" and self.noise > _LEAST_NOISE and alike > 0.5:
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


def _off(values: FloatArray, *terms: FloatArray) -> float:
    """Sum of squares that a constant and some terms leave of values."""
    design = np.column_stack([np.ones(len(values)), *terms])
    left = values - design @ np.linalg.lstsq(design, values, rcond=None)[0]
    return float(np.sum(np.square(left)))


_LEAST_NOISE = 1e-5


def _noise(shown: FloatArray) -> float:
    """Standard deviation of a sample: from second differences, to which slow motion adds little."""
    spread = 1.4826 * float(np.median(np.abs(np.diff(shown, 2))) / np.sqrt(6.0))
    steps = np.abs(np.diff(shown))
    quantum = float(steps[steps > 0.0].min(initial=np.inf))
    rounded = float(sd_of_step(quantum)) if quantum < np.inf else 0.0
    return max(spread, rounded, _LEAST_NOISE)


def _still(time: FloatArray, angle: FloatArray, width: float) -> BoolArray:
    """Samples about which the angle stayed within a width for a while."""
    count = max(int(_STILL_S / np.median(np.diff(time))), 3)
    if len(angle) < count:
        return np.zeros(len(angle), dtype=np.bool_)
    windows = np.lib.stride_tricks.sliding_window_view(angle, count)
    steady = np.ptp(windows, axis=1) < width
    steady &= time[count - 1 :] - time[: len(time) - count + 1] < 2.0 * _STILL_S
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
