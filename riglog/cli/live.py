"""A stopwatch on the terminal: a key at the release, a key as the rig passes upright."""

from __future__ import annotations

import time
from statistics import mean, stdev
from typing import TYPE_CHECKING

from riglog.cli import output
from riglog.cli.keys import pressed
from riglog.errors import CallError
from riglog.jobs.odd import odd_times

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

# Two presses closer than this are one key that was held, or bounced [s].
_BOUNCE_S = 0.2
# Whoever waits longer has left the watch running [s].
_LONGEST_S = 60.0
_USUAL_SD_S = 0.1
_HOW = "Any key at the release, any key as it passes upright, as often as wanted; q ends."


def timed(usual_sd_s: float = _USUAL_SD_S) -> tuple[str, ...]:
    """Drop times [s] as somebody presses them, as texts to the hundredth.

    Parameters
    ----------
    usual_sd_s
        How much one such timing usually scatters, to tell what is odd.

    Raises
    ------
    CallError
        If there is no terminal, or nothing was timed.
    """
    with pressed() as key:
        output.complain(_HOW)
        times = _watch(key, time.monotonic, usual_sd_s)
    if not times:
        raise CallError("no drop was timed", hint="press a key at the release and one at upright")
    return tuple(f"{each:.2f}s" for each in times)


def _watch(key: Callable[[], str], clock: Callable[[], float], usual_sd_s: float) -> list[float]:
    """Times between presses, two by two, until somebody ends it; what runs then is dropped."""
    times: list[float] = []
    began: float | None = None
    last = float("-inf")
    while (each := key()) and each not in "qQ\x04":
        at = clock()
        if at - last < _BOUNCE_S:
            continue
        last = at
        if began is None:
            began = at
            output.complain(f"{len(times) + 1:>3}  let go ...")
            continue
        if at - began <= _LONGEST_S:
            times.append(round(at - began, 2))
            output.complain(_line(times, usual_sd_s))
        else:
            output.complain(f"     more than {_LONGEST_S:.0f} s is no drop: left out")
        began = None
    return times


def _line(times: Sequence[float], usual_sd_s: float) -> str:
    """The newest time, with what all of them say; one that stands apart is marked and kept."""
    words = f"{len(times):>3}  {times[-1]:.2f} s"
    if len(times) > 1:
        words += f"   mean {mean(times):.2f} s, scatter {stdev(times):.2f} s"
    odd = odd_times(times, usual_sd_s)
    if odd:
        named = ", ".join(f"{times[index]:.2f} s" for index in odd)
        words += f"   odd, and kept: {named}"
    return words
