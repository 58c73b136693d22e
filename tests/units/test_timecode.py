from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.errors import CallError
from riglog.units.timecode import frame_rate, frames_s, timecode_s

NTSC = Fraction(30000, 1001)


def names(nominal: int, dropped: int, minutes: int) -> list[str]:
    """Every frame's name from midnight on, counted out one by one."""
    mark = ";" if dropped else ":"
    return [
        f"{minute // 60:02}:{minute % 60:02}:{second:02}{mark}{frame:02}"
        for minute in range(minutes)
        for second in range(60)
        for frame in range(nominal)
        if not (frame < dropped and second == 0 and minute % 10)
    ]


TEN_MINUTES = names(30, 2, 11)


@given(st.integers(0, len(TEN_MINUTES) - 1), st.integers(1, 1700))
def test_drop_frame_names_are_as_far_apart_as_counting_every_frame_says(at: int, on: int) -> None:
    first, last = TEN_MINUTES[at], TEN_MINUTES[min(at + on, len(TEN_MINUTES) - 1)]
    frames = TEN_MINUTES.index(last) - at
    if frames:
        assert timecode_s(f"{first}-{last}", NTSC) == float(frames / NTSC)


def test_ten_minutes_of_drop_frame_have_as_many_names_as_st_12_1_says() -> None:
    # SMPTE ST 12-1: 17,982 frames in ten minutes of 30000/1001.
    assert TEN_MINUTES.index("00:10:00;00") == 17982


@pytest.mark.parametrize(
    ("code", "fps", "frames"),
    [
        ("01:00:10:05-01:00:13:07", "25", 77),
        ("01:00:10:05-01:00:13:07", "29.97", 92),
        ("01:00:10:05-01:00:13:07", "24000/1001", 74),
        ("00:00:59;29-00:01:00;02", "29.97", 1),
        ("00:09:59;29-00:10:00;00", "29.97", 1),
        ("00:00:59;59-00:01:00;04", "59.94", 1),
        ("23:59:59:20-00:00:02:10", "25", 65),
        ("23:59:59;29-00:00:00;00", "29.97", 1),
        ("10:00:00:100-10:00:01:000", "120", 20),
    ],
)
def test_time_between_two_frames_is_their_number_over_the_rate(
    code: str, fps: str, frames: int
) -> None:
    assert timecode_s(code, frame_rate(fps)) == float(frames / frame_rate(fps))


@pytest.mark.parametrize(
    ("code", "fps", "told"),
    [
        ("01:01:00;00-01:01:03;07", "29.97", "01:00:59;29 is 01:01:00;02"),
        ("01:01:00;01-01:01:03;07", "29.97", "that drop-frame leaves out"),
        ("01:00:10:25-01:00:13:07", "25", "does not exist: frame 25; the last frame is 24"),
        ("01:00:61:05-01:00:13:07", "25", "does not exist: second 61"),
        ("01:60:01:05-01:00:13:07", "25", "does not exist: minute 60"),
        ("24:00:01:05-01:00:13:07", "25", "does not exist: hour 24"),
        ("01:00:13:07-01:00:10:05", "25", "ends before it begins"),
        ("01:00:13:07-01:00:13:07", "25", "begins and ends at one frame"),
        ("01:00:13:07-01:02:13:07", "25", "lasts 120 s"),
        ("01:00:10;05-01:00:13;07", "25", "25 frames a second have none"),
        ("01:00:10;05-01:00:13:07", "29.97", "at one end only"),
        ("01:00:10:05", "25", "is one time code"),
        ("1:00:10:05-01:00:13:07", "25", "is no time code"),
        ("01:00:10.05-01:00:13.07", "25", "is no time code"),
        ("-01:00:10:05-01:00:13:07", "25", "is no time code"),
    ],
)
def test_time_code_that_does_not_exist_is_refused(code: str, fps: str, told: str) -> None:
    with pytest.raises(CallError) as caught:
        timecode_s(code, frame_rate(fps))
    assert told in str(caught.value)


@pytest.mark.parametrize("text", ["0", "-74", "74.5", "", "seventy", "\u0667\u0664", "1e3"])
def test_a_number_of_frames_is_whole_and_above_zero(text: str) -> None:
    with pytest.raises(CallError, match="no number of frames"):
        frames_s(text, Fraction(25))


@pytest.mark.parametrize("text", ["0", "25/0", "nan", "inf", "-25", "24,5", "1/1/1", "", "1e999"])
def test_a_frame_rate_is_a_figure_that_some_camera_has(text: str) -> None:
    with pytest.raises(CallError, match="no frame rate"):
        frame_rate(text)


def test_frames_at_a_rate_are_seconds() -> None:
    assert frames_s("74", frame_rate("24000/1001")) == 74 * 1001 / 24000
