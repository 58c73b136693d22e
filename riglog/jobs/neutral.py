"""`neutral`: neutral mark and wanted mark from drop times at marks of one build, and no library."""

from __future__ import annotations

from math import cos, log
from typing import TYPE_CHECKING, Literal

import numpy as np

from riglog.errors import CallError, NoAnswerError, UnreachableError, quoted
from riglog.estimation.interval import TWO_SIDED
from riglog.estimation.noise import METHOD_SD_S
from riglog.estimation.planting import reading_m
from riglog.estimation.priors import LUMP
from riglog.jobs.answers import Value, Warned
from riglog.jobs.drop_times import time_of
from riglog.jobs.neutral_answers import NeutralAnswer
from riglog.jobs.placing import SURELY_SD
from riglog.library.sides import parse_sides
from riglog.mechanics.marks import MarksFit, fit_marks, wanted_mark
from riglog.mechanics.pivot import has_height
from riglog.records.support import MOST_LEAN
from riglog.units import METER, RADIAN, SECOND, parse_loose, show

if TYPE_CHECKING:
    from collections.abc import Sequence

# A mark is read to a millimeter, a time by stopwatch.
MARK_SD_M = 0.001
TIME_SD_S = METHOD_SD_S["stopwatch"]
# A k known to no better than this share of itself was not told by the marks.
TELLING = 0.2
# Median of k [m] and standard deviation of its logarithm where nobody said what rig it is: both a
# post rig's and a ring rig's lie well inside.
ANY_RIG = (0.26, 0.5)
_LONGEST_S = 60.0
_ROUNDS, _SETTLED = 30, 1e-6
_UNITS: tuple[Literal["mm", "cm", "in"], ...] = ("mm", "cm", "in")


def neutral(
    marks: Sequence[str], want: str | None = None, lean: str | None = None
) -> NeutralAnswer:
    """Answer where neutral is, what k is, and where the wanted drop time is.

    Parameters
    ----------
    marks
        `487mm=3.0`, one for each mark; several times at one mark, `487mm=3.0,3.1,2.9` or each
        by itself, are averaged. A ring's mark can be both sides, `212mm,213mm=1.6`.
    want
        Drop time.
    lean
        Angle that the post or guides lean by.

    Raises
    ------
    CallError
        If a word is wrong.
    NoAnswerError
        If no rig has these times, or no mark the wanted one.
    """
    read = [_mark(text) for text in marks]
    if not read:
        raise CallError("no mark was given", hint="write MARK=SECONDS, such as 487mm=3.0")
    at: dict[float, list[float]] = {}
    for place, seconds, _ in read:
        at.setdefault(place, []).extend(seconds)
    lean_rad = 0.0 if lean is None else _lean(lean)
    rise = cos(lean_rad)
    fit = _fit(at, rise)
    times = tuple(float(np.mean(each)) for each in at.values())
    wanted_s = None if want is None else _seconds(want)
    mark, first = _wanted(fit, wanted_s, rise)
    k, k_sd = float(fit.gyration_m), float(fit.covariance[1, 1]) ** 0.5
    first_s = None if first is None else _drop_there(fit, first * rise, MARK_SD_M * rise)
    return NeutralAnswer(
        marks_m=tuple(at),
        times_s=times,
        wanted_s=wanted_s,
        neutral_m=_value(float(fit.neutral_m) / rise, float(fit.covariance[0, 0]) ** 0.5 / rise),
        gyration_m=_value(k, k_sd),
        mark_m=mark,
        first_m=first,
        first_drop_s=first_s,
        warnings=(Warned("marks_too_close"),) if len(at) > 1 and k_sd > TELLING * k else (),
        unit=read[0][2],
        lean_rad=lean_rad,
    )


def _mark(text: str) -> tuple[float, list[float], Literal["mm", "cm", "in"]]:
    place, sign, time = text.partition("=")
    if not sign:
        raise CallError(f"{quoted(text)} is no mark with a time", hint="write 487mm=3.0")
    unit = next((unit for unit in _UNITS if place.rstrip().endswith(unit)), _UNITS[0])
    pieces = time.split(",")
    if len(pieces) == 2 and all(each.strip().isdigit() for each in pieces):
        hint = f"write {place}={'.'.join(pieces)} or, if it was dropped twice, {place}=" + ",".join(
            f"{each.strip()}.0" for each in pieces
        )
        raise CallError(f"{quoted(text)} could be one time or two", hint=hint)
    times = [_seconds(each) for each in pieces]
    sides = parse_sides(place, unit)
    return parse_loose(place, METER, unit) if sides is None else reading_m(sides), times, unit


def _seconds(text: str) -> float:
    seconds = parse_loose(text, SECOND, "s")
    if not 0 < seconds <= _LONGEST_S:
        hint = f"a drop takes more than 0 and at most {_LONGEST_S:.0f} s"
        raise CallError(f"{quoted(text)} is no drop time", hint=hint)
    return seconds


def _lean(text: str) -> float:
    lean_rad = parse_loose(text, RADIAN, "deg")
    if abs(lean_rad) > MOST_LEAN:
        hint = (
            f"write at most {show(MOST_LEAN, 'deg', 0)}: on guides that lie no mark tells neutral"
        )
        raise CallError(f"guides that lean by {quoted(text)} hardly raise the pivot", hint=hint)
    return lean_rad


def _fit(at: dict[float, list[float]], rise: float) -> MarksFit:
    """Neutral and k; of one mark, k is that of a usual post rig. ``rise`` is per unit of mark."""
    median, log_sd = (LUMP["post"][2], LUMP["post"][3]) if len(at) == 1 else ANY_RIG
    try:
        try:
            return _fit_log_normal(at, rise, median, log_sd)
        except ValueError:
            # Marks so close that their times hardly differ: a milder prior settles.
            return _fit_normal(at, rise, median, log_sd * median)
    except ValueError as error:
        raise NoAnswerError(
            "no rig has these drop times at these marks",
            hint="a higher mark drops faster: check the marks and the times",
        ) from error


def _fit_log_normal(
    at: dict[float, list[float]], rise: float, median: float, log_sd: float
) -> MarksFit:
    """The fit with a log-normal prior on k, which is taken by its tangent until that stands still.

    log(k / median) / s is, about k, as far from zero as (k - k + k log(k / median)) / (s k).
    """
    k = median
    for _ in range(_ROUNDS):
        fit = _fit_normal(at, rise, k - k * log(k / median), log_sd * k)
        before, k = k, float(fit.gyration_m)
        if abs(k - before) <= _SETTLED:
            return fit
    raise ValueError("it goes round in circles")


def _fit_normal(at: dict[float, list[float]], rise: float, mean: float, sd: float) -> MarksFit:
    scatter = [TIME_SD_S / len(times) ** 0.5 for times in at.values()]
    times = [float(np.mean(each)) for each in at.values()]
    heights = [rise * each for each in at]
    return fit_marks(heights, times, rise * MARK_SD_M, scatter, prior_gyration_m=(mean, sd))


def _wanted(
    fit: MarksFit, wanted_s: float | None, rise: float
) -> tuple[Value | None, float | None]:
    """The mark and a safe one to start from, at a step of a millimeter."""
    if wanted_s is None:
        return None, None
    if not has_height(wanted_s, float(fit.gyration_m) ** 2):
        raise UnreachableError(
            f"no mark drops in {wanted_s:g} s", hint="ask for a longer drop time"
        )
    found = wanted_mark(fit, wanted_s)
    mark, sd = float(found.mark_m) / rise, float(found.sd_m) / rise
    open_m2 = float(fit.covariance[0, 0]) / rise**2
    surely = float(fit.neutral_m) / rise + SURELY_SD * (open_m2 + MARK_SD_M**2) ** 0.5
    safe = max(mark + TWO_SIDED * float(np.hypot(sd, MARK_SD_M)), surely)
    return _value(mark, sd), float(np.ceil(safe / MARK_SD_M - 1e-9) * MARK_SD_M)


def _drop_there(fit: MarksFit, mark_m: float, mark_sd_m: float) -> Value:
    """Drop time expected at the height of a mark; neutral and k err together."""
    depth, k = mark_m - float(fit.neutral_m), float(fit.gyration_m)
    slope = np.array([-1.0, -2 * depth / k])
    sd = float(np.sqrt(slope @ fit.covariance @ slope + mark_sd_m**2))
    low, high = (time_of(depth + each * TWO_SIDED * sd, k * k) for each in (1, -1))
    return Value(time_of(depth, k * k), low, high)


def _value(value: float, sd: float) -> Value:
    return Value(value, value - TWO_SIDED * sd, value + TWO_SIDED * sd)
