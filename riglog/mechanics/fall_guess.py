"""Where a trace may hold a fall: its way as first seen, and why many a motion is none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

from riglog.mechanics.trace_signal import WAVER

if TYPE_CHECKING:
    from riglog.mechanics.arrays import FloatArray
    from riglog.mechanics.trace_signal import Trace

_DEG = np.pi / 180.0
# Less is no fall, nor is more [rad].
LEAST_FALL, MOST_FALL = 20.0 * _DEG, 150.0 * _DEG
# With less of a hold nothing shows a release [s], nor with fewer samples.
_LEAST_HOLD, _FEWEST = 0.3, 4
# A fall from horizontal has this share of its time left when a quarter of the way is done.
_AFTER_QUARTER = 0.522
# Of a drop, a gap of this share leaves too little; as long a stuck value says that it was clipped.
_GAP, _STUCK = 0.25, 0.15

Why = Literal["no-hold", "no-upright", "gap", "clipped", "by-hand", "upside-down"]


class NoFall(NamedTuple):
    """A motion that might have been a drop: at which sample it is none, and why."""

    sample: int
    why: Why
    figure: float = 0.0


class Guess(NamedTuple):
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
        """Seconds from the release to upright, about."""
        return self.upright_s - self.release_s


def guess_at(trace: Trace, place: int) -> Guess | NoFall | None:
    """When it was let go, from where it stood a quarter of the way and all of it later."""
    first, last = map(int, trace.turns[place : place + 2])
    side = float(np.sign(trace.angle[first] - trace.angle[last]))
    begin, depart = _band(trace, first, last, side)
    held = float(np.median(trace.angle[begin : depart + 1]))
    lean = side * (held - trace.upright) if trace.kind == "angle" else trace.release
    if not LEAST_FALL < lean < MOST_FALL:
        return None
    fallen = side * (held - trace.angle[depart : last + 1])
    quarter, whole = (np.flatnonzero(fallen >= share * lean) for share in (0.25, 1.0))
    if not whole.size:
        ends = last == len(trace.time) - 1 and fallen[-1] > 0.25 * lean
        return NoFall(last, "no-upright") if ends else None
    upright = float(trace.time[depart + whole[0]])
    drop = (upright - float(trace.time[depart + quarter[0]])) / _AFTER_QUARTER
    return Guess(begin, depart, side, held, lean, upright - drop, upright)


def _band(trace: Trace, first: int, last: int, side: float) -> tuple[int, int]:
    """First and last sample of the hold about a turn."""
    width = WAVER + 6.0 * trace.angle_noise
    outside = side * (trace.angle[first] - trace.angle) > width
    before = np.flatnonzero(outside[:first])
    behind = np.flatnonzero(outside[first : last + 1])
    return (
        int(before[-1]) + 1 if before.size else 0,
        first + int(behind[0]) - 1 if behind.size else last,
    )


def doubt_of(trace: Trace, place: int, guess: Guess) -> NoFall | None:
    """Why it is not worth a fit: a swing that merely turned there is none of anyone's."""
    if trace.kind == "rate" and (clipped := _clipped(trace, guess)):
        return clipped
    if place and _merely_turns(trace, place, guess):
        return NoFall(guess.first, "by-hand")
    hold = guess.release_s - float(trace.time[guess.first])
    count = int(np.sum(trace.time[guess.first :] < guess.release_s))
    if hold < _LEAST_HOLD or count < _FEWEST:
        return NoFall(guess.first, "no-hold")
    inside = (trace.time >= guess.release_s) & (trace.time <= guess.upright_s)
    steps = np.diff(trace.time[inside], prepend=guess.release_s, append=guess.upright_s)
    if steps.max() > _GAP * guess.drop_s:
        return NoFall(int(np.flatnonzero(inside)[0] + np.argmax(steps)) - 1, "gap", steps.max())
    return None


def _merely_turns(trace: Trace, place: int, guess: Guess) -> bool:
    """Whether it came from the other side and was never held: a swing.

    About a free turn the angle is a parabola, about a release half of one.
    """
    came = float(np.ptp(trace.angle[trace.turns[place - 1 : place + 1]]))
    if came < 1.2 * guess.lean:
        return False
    begin = float(trace.time[guess.first])
    begin += 0.25 * max(guess.release_s - begin, 0.0)
    near = (trace.time >= begin) & (trace.time <= trace.time[guess.depart])
    if np.sum(near) < 2 * _FEWEST:
        return True
    time, angle = trace.time[near] - begin, trace.angle[near]
    starts = np.linspace(0.0, time[-1], 24, endpoint=False)
    let_go = min(_off(angle, np.maximum(time - start, 0.0) ** 2) for start in starts)
    return _off(angle, time, time**2) < let_go


def _clipped(trace: Trace, guess: Guess) -> NoFall | None:
    """Whether the sensor stood at the end of its range during the fall."""
    inside = np.flatnonzero(
        (trace.time >= guess.release_s) & (trace.time <= guess.upright_s + 0.5 * guess.drop_s)
    )
    extreme = np.max(-guess.side * trace.shown[inside])
    stuck = inside[-guess.side * trace.shown[inside] == extreme]
    run = max(np.split(stuck, np.flatnonzero(np.diff(stuck) != 1) + 1), key=len)
    lasts = float(trace.time[run[-1]] - trace.time[run[0]])
    if len(run) >= _FEWEST and lasts > _STUCK * guess.drop_s:
        return NoFall(int(run[0]), "clipped", float(trace.shown[run[0]]))
    return None


def _off(values: FloatArray, *terms: FloatArray) -> float:
    """Sum of squares that a constant and some terms leave of values."""
    design = np.column_stack([np.ones(len(values)), *terms])
    left = values - design @ np.linalg.lstsq(design, values, rcond=None)[0]
    return float(np.sum(np.square(left)))
