"""How the times of a drop test were taken: by a watch, counted, from frames of a clip."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, get_args

from riglog.errors import CallError, listed, mend_word, quoted
from riglog.jobs.common import LONGEST_S
from riglog.records.readings.drop import Method
from riglog.units import SECOND, parse_loose

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from riglog.jobs.questions import DropQuestion

# Far below what a frame hides, and what people read in a list.
_DECIMALS = 3


class Timing(NamedTuple):
    """Drop times [s], the method, and of a clip its frame rate."""

    times: tuple[float, ...]
    method: Method = "stopwatch"
    fps: float | None = None


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
    }
    told = [way for way, texts in ways.items() if texts]
    if not told:
        raise CallError("no drop time was given", hint="add the seconds, such as 3.1 3.0 3.2")
    if len(told) > 1:
        hint = "keep one of them, and record the rest by another drop"
        raise CallError(f"the times are told by {listed(told, 'and')}", hint=hint)
    if question.times:
        return _timed(question)
    return _filmed(question, told[0])


def _timed(question: DropQuestion) -> Timing:
    """Seconds as they were typed."""
    times = tuple(seconds(text) for text in question.times)
    fps = None if question.fps is None else float(_rate(question.fps))
    return Timing(times, _method(question.method or "stopwatch"), fps)


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
