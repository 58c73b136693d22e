"""Time code and frame counts of a clip, to seconds.

A frame is named ``HH:MM:SS:FF``. At 30000/1001 and 60000/1001 frames a second names run slow
against the clock; drop-frame time code, written with ``;`` before the frame, leaves out the first
two (of 60000/1001: four) frame numbers of each minute except each tenth (SMPTE ST 12-1). No frame
is lost by that, only its name.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from riglog.errors import CallError, quoted

MOST_FPS = 100_000
_DAY_H = 24
# A drop that took longer was none: then in and out were exchanged.
_LONGEST_S = 60
# The rates that broadcasters write in two or three digits, with what they stand for.
_BROADCAST = {
    str(shown): Fraction(whole * 1000, 1001)
    for whole, *names in (
        (24, "23.976", "23.98"), (30, "29.97"), (48, "47.952", "47.95"),
        (60, "59.94"), (120, "119.88"),
    )
    for shown in names
}  # fmt: skip
_CODE = re.compile(r"([0-9]{2}):([0-9]{2}):([0-9]{2})([:;.,])([0-9]{2,3})")
_RATE = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?(?:/[0-9]{1,9})?")
_HINT = "write it as 01:00:10:05, or 01:00:10;05 where it is drop-frame"


def frame_rate(text: str) -> Fraction:
    """Frames a second, exactly; 29.97 and its like stand for 30000/1001.

    Raises
    ------
    CallError
        If the text is no rate, or none between 1 and 100,000.

    Examples
    --------
    >>> frame_rate("24000/1001") == frame_rate("23.976")
    True
    """
    plain = text.strip()
    if plain in _BROADCAST:
        return _BROADCAST[plain]
    over, _, under = plain.partition("/")
    if _RATE.fullmatch(plain) and int(under or "1"):
        rate = Fraction(over) / int(under or "1")
        if 1 <= rate <= MOST_FPS:
            return rate
    raise CallError(f"{quoted(text)} is no frame rate", hint="such as 25 or 24000/1001")


def frames_s(text: str, rate: Fraction) -> float:
    """Time [s] that a number of frames takes.

    Raises
    ------
    CallError
        If the text is no whole number above zero.
    """
    plain = text.strip()
    if not (plain.isascii() and plain.isdigit() and len(plain) < 9 and int(plain)):
        hint = "count from the frame of the release to that of upright, as 74"
        raise CallError(f"{quoted(text)} is no number of frames", hint=hint)
    return float(int(plain) / rate)


def timecode_s(text: str, rate: Fraction) -> float:
    """Time [s] between two time codes, ``01:00:10:05-01:00:13:07``, also across midnight.

    Raises
    ------
    CallError
        If either does not exist at that rate, or the second does not follow the first.

    Examples
    --------
    >>> round(timecode_s("01:00:59;29-01:01:00;02", frame_rate("29.97")), 4)
    0.0334
    """
    first, dash, last = (part.strip() for part in text.partition("-"))
    if not dash:
        raise CallError(f"{quoted(text)} is one time code", hint="write IN-OUT, two of them")
    begin, end = _code(first, rate), _code(last, rate)
    if begin.dropped != end.dropped:
        hint = "write both with ; before the frame, or neither"
        raise CallError(f"{quoted(text)} is drop-frame at one end only", hint=hint)
    whole_day = _frames_before(_DAY_H * 60, begin)
    frames = (end.frame - begin.frame) % whole_day
    if not frames:
        raise CallError(f"{quoted(text)} begins and ends at one frame", hint="write IN-OUT")
    if frames > _LONGEST_S * rate:
        seconds = float(frames / rate)
        what = "ends before it begins" if end.frame < begin.frame else f"lasts {seconds:.0f} s"
        hint = f"write the release first, then upright, at most {_LONGEST_S} s later"
        raise CallError(f"{quoted(text)} {what}", hint=hint)
    return float(frames / rate)


class _Code(NamedTuple):
    """A frame's number since midnight, and how its name counts."""

    frame: int
    dropped: int
    nominal: int


def _code(text: str, rate: Fraction) -> _Code:
    """The frame of that name.

    Drop-frame at 60000/1001 counts pairs of frames, so that it leaves out four names.
    """
    match = _CODE.fullmatch(text)
    if not match or match[4] in ".,":
        raise CallError(f"{quoted(text)} is no time code", hint=_HINT)
    hour, minute, second, frame = (int(match[group]) for group in (1, 2, 3, 5))
    nominal = -(-rate.numerator // rate.denominator)
    _check_fields(text, hour, minute, second, frame, nominal)
    dropped = _dropped(text, rate) if match[4] == ";" else 0
    if frame < dropped and second == 0 and minute % 10:
        hint = f"the frame after {_before(match)};{nominal - 1:02} is {text[:8]};{dropped:02}"
        raise CallError(f"{quoted(text)} is a frame number that drop-frame leaves out", hint=hint)
    code = _Code(0, dropped, nominal)
    number = _frames_before(60 * hour + minute, code) + nominal * second + frame
    return code._replace(frame=number)


def _frames_before(minutes: int, code: _Code) -> int:
    """Frames since midnight up to the first of a minute's, had it all its names."""
    return 60 * code.nominal * minutes - code.dropped * (minutes - minutes // 10)


def _check_fields(text: str, hour: int, minute: int, second: int, frame: int, nominal: int) -> None:
    limits = (("hour", hour, _DAY_H), ("minute", minute, 60), ("second", second, 60))
    for name, value, limit in (*limits, ("frame", frame, nominal)):
        if value >= limit:
            message = f"{quoted(text)} does not exist: {name} {value}"
            raise CallError(message, hint=f"the last {name} is {limit - 1}")


def _dropped(text: str, rate: Fraction) -> int:
    """Frame names left out of a minute."""
    left_out = {Fraction(30000, 1001): 2, Fraction(60000, 1001): 4}
    if rate not in left_out:
        message = f"{quoted(text)} is drop-frame, and {float(rate):.6g} frames a second have none"
        raise CallError(message, hint="write : before the frame, or --fps 29.97")
    return left_out[rate]


def _before(match: re.Match[str]) -> str:
    """Hour, minute and second that come before a full minute."""
    seconds = 3600 * int(match[1]) + 60 * int(match[2]) - 1
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}"
