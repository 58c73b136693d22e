"""Drops found in what a motion sensor on the rig showed.

A drop is a fall from a hold through where the rig hangs. Turning points tell where falls may be;
each is fitted as a free swing (``free_swing``) and believed if the samples lie on it: a rig that
was laid over, or led down by hand, does not move so. The swings after it are taken in for as long
as nobody touched it; they tell where it hangs, and its friction.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.mechanics.fall_fit import MOST_ASIDE, Fall, fitted
from riglog.mechanics.fall_guess import LEAST_FALL, Guess, NoFall, doubt_of, guess_at
from riglog.mechanics.trace_signal import Trace

if TYPE_CHECKING:
    from riglog.mechanics.free_swing import Samples


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
    trace = Trace.of(samples, release_rad, upright_rad)
    found: list[Fall | NoFall] = []
    until = -np.inf
    for place in range(len(trace.turns) - 1):
        if trace.time[trace.turns[place]] >= until:
            each, end = _motion(trace, place)
            found.extend([each] if each else [])
            until = end if isinstance(each, Fall) else until
    if not any(isinstance(each, Fall) for each in found):
        found.extend(_elsewhere(trace))
    return found


def _motion(trace: Trace, place: int) -> tuple[Fall | NoFall | None, float]:
    """What begins at a turn, and the time [s] up to which it was taken in."""
    guess = guess_at(trace, place)
    if not isinstance(guess, Guess):
        return guess, 0.0
    doubt = doubt_of(trace, place, guess)
    if doubt is not None:
        return (None if doubt.why == "by-hand" else doubt), 0.0
    return fitted(trace, place, guess)


def _elsewhere(trace: Trace) -> list[NoFall]:
    """The widest swing, if it is about something that is not upright."""
    widths = np.abs(np.diff(trace.angle[trace.turns]))
    if trace.kind == "rate" or not widths.size or widths.max() < 2.0 * LEAST_FALL:
        return []
    place = int(np.argmax(widths))
    first, last = trace.turns[place : place + 2]
    middle = 0.5 * float(trace.angle[first] + trace.angle[last])
    far = abs(middle - trace.upright) > 1.5 * MOST_ASIDE
    return [NoFall(int(first), "upside-down", middle)] if far else []
