"""How the times of a drop test were taken: by a watch, counted, from frames of a clip."""

from __future__ import annotations

from math import degrees, radians
from typing import TYPE_CHECKING, NamedTuple, get_args

from riglog.errors import CallError, listed, mend_word, quoted
from riglog.jobs.common import LONGEST_S
from riglog.records.readings.drop import Method
from riglog.records.readings.measured import HORIZONTAL
from riglog.units import RADIAN, SECOND, parse_loose

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from riglog.jobs.questions import DropQuestion
    from riglog.jobs.timing_answers import Found

# Far below what a frame hides, and what people read in a list.
_DECIMALS = 3


class Timing(NamedTuple):
    """Drop times [s], the method, and of a clip its frame rate.

    A trace also tells the deviation of one such timing, the release, and each drop in full.
    """

    times: tuple[float, ...]
    method: Method = "stopwatch"
    fps: float | None = None
    sd: float | None = None
    release: float | None = None
    found: tuple[Found, ...] = ()


def timing(question: DropQuestion) -> Timing:
    """The times that a question tells, by whichever way it tells them.

    Raises
    ------
    CallError
        If it tells none, tells them in two ways, or one of them cannot be.
    """
    ways = {
        "the seconds": question.times,
        "--frames": question.frames,
        "--timecode": question.timecodes,
        "--trace": question.trace,
    }
    told = [way for way, texts in ways.items() if texts]
    if not told:
        raise CallError("no drop time was given", hint="add the seconds, such as 3.1 3.0 3.2")
    if len(told) > 1:
        hint = "keep one of them, and record the rest by another drop"
        raise CallError(f"the times are told by {listed(told, 'and')}", hint=hint)
    if not question.trace and (question.columns or question.units or question.upright):
        raise CallError(
            "--columns, --units and --upright are about a trace", hint="add --trace FILE"
        )
    if question.times:
        return _timed(question)
    if question.trace:
        return _traced(question, question.trace)
    return _filmed(question, told[0])


def _timed(question: DropQuestion) -> Timing:
    """Seconds as they were typed."""
    times = tuple(seconds(text) for text in question.times)
    fps = None if question.fps is None else float(_rate(question.fps))
    return Timing(times, _method(question.method or "stopwatch"), fps)


def _traced(question: DropQuestion, path: str) -> Timing:
    """What a sensor logged."""
    from riglog.jobs.trace import traced  # a trace is read seldom

    if question.method not in {None, "sensor"}:
        raise CallError("--trace is what a sensor logged", hint="leave --method out")
    release = HORIZONTAL if question.release is None else angle(question.release)
    upright = 0.0 if question.upright is None else parse_loose(question.upright, RADIAN, "deg")
    told = traced(path, question.columns, question.units, release, upright)
    times = tuple(_drop_time("--trace", round(each.drop_s, _DECIMALS)) for each in told.found)
    # To a tenth of a degree, more than hands can tell.
    release = round(degrees(told.release_rad), 1)
    return Timing(times, "sensor", None, round(told.sd_s, 4), radians(release), told.found)


def angle(text: str) -> float:
    """An angle that a rig can be let go from [rad]; a bare figure is in degrees.

    Raises
    ------
    CallError
        If it is no angle, or none of those.
    """
    release = parse_loose(text, RADIAN, "deg")
    if not 0 < release < 2 * HORIZONTAL:
        raise CallError(f"{quoted(text)} is no angle to release from", hint="such as 30 deg")
    return release


def _filmed(question: DropQuestion, way: str) -> Timing:
    """Frames counted, or the time code of release and upright."""
    if question.method not in {None, "clip"}:
        hint = "leave --method out"
        raise CallError(f"{way} is how a clip is timed, not {quoted(question.method)}", hint=hint)
    if question.fps is None:
        hint = "add the frame rate of the clip, such as --fps 24000/1001"
        raise CallError(f"{way} stands without --fps", hint=hint)
    rate = _rate(question.fps)
    return Timing(tuple(_clip_times(question, rate)), "clip", float(rate))


def _clip_times(question: DropQuestion, rate: Fraction) -> Sequence[float]:
    from riglog.units.timecode import frames_s, timecode_s

    read = frames_s if question.frames else timecode_s
    return [
        _drop_time(text, round(read(text, rate), _DECIMALS))
        for texts in question.frames or question.timecodes
        for text in texts.split(",")
    ]


def _rate(text: str) -> Fraction:
    from riglog.units.timecode import frame_rate

    return frame_rate(text)


def seconds(text: str) -> float:
    """A drop time [s]; a bare figure is in seconds.

    Raises
    ------
    CallError
        If it is no time, or none that a drop takes.
    """
    return _drop_time(text, parse_loose(text, SECOND, "s"))


def _drop_time(text: str, time_s: float) -> float:
    if not 0 < time_s <= LONGEST_S:
        hint = f"a drop takes more than 0 and at most {LONGEST_S:.0f} s"
        raise CallError(f"{quoted(text)} is no drop time", hint=hint)
    return time_s


def _method(text: str) -> Method:
    for method in get_args(Method):
        if text == method:
            return method  # type: ignore[no-any-return]  # one of the literals
    hint = mend_word(text, get_args(Method))
    raise CallError(f"{quoted(text)} is no way of timing", hint=hint)
