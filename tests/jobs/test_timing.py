"""How drop times were taken, through the questions that tell them."""

from __future__ import annotations

from math import isclose
from typing import TYPE_CHECKING

import pytest

from riglog.errors import CallError
from riglog.estimation.noise import method_sd
from riglog.jobs.questions import DropQuestion
from riglog.jobs.timing import timing
from riglog.records import Drop

if TYPE_CHECKING:
    from collections.abc import Mapping
    from typing import Any


def test_frames_of_a_clip_are_seconds_to_the_millisecond() -> None:
    asked = DropQuestion("a-cam", frames=("74,75", "73"), fps="24000/1001")
    assert timing(asked)[:3] == ((3.086, 3.128, 3.045), "clip", 24000 / 1001)


def test_time_code_tells_a_clip_too() -> None:
    asked = DropQuestion("a-cam", timecodes=("01:00:10;05-01:00:13;07",), fps="29.97")
    assert timing(asked)[:3] == ((3.07,), "clip", 30000 / 1001)


@pytest.mark.parametrize(
    ("method", "fps", "sd_s"),
    [("counted", None, 0.3), ("stopwatch", None, 0.1), ("clip", 25.0, 0.01633),
     ("clip", 24000 / 1001, 0.01703), ("sensor", None, 0.02)],
)  # fmt: skip
def test_each_method_has_the_uncertainty_that_it_deserves(
    method: str, fps: float | None, sd_s: float
) -> None:
    # 1/(fps sqrt 6), to four digits: two rectangular errors of one frame each.
    drop = Drop(build="a-cam", on="2026-03-14", times=(3.0,), method=method, fps=fps)  # type: ignore[arg-type]
    assert isclose(method_sd(drop), sd_s, rel_tol=5e-4)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ({}, "no drop time was given; add the seconds"),
        ({"times": ("3.1",), "frames": ("74",), "fps": "25"}, "told by the seconds and --frames"),
        ({"frames": ("74",), "timecodes": ("1-2",)}, "told by --frames and --timecode"),
        ({"frames": ("74",)}, "--frames stands without --fps"),
        ({"timecodes": ("01:00:10:05-01:00:13:07",)}, "--timecode stands without --fps"),
        ({"frames": ("74",), "fps": "25", "method": "counted"}, "leave --method out"),
        ({"frames": ("1501",), "fps": "25"}, '"1501" is no drop time'),
        ({"frames": ("74,",), "fps": "25"}, '"" is no number of frames'),
        ({"times": ("3.1",), "method": "guessed"}, '"guessed" is no way of timing'),
        ({"times": ("3.1",), "method": "clip", "fps": "24,5"}, "is no frame rate"),
        ({"times": ("-3.1",)}, '"-3.1" is no drop time'),
    ],
)
def test_times_told_twice_or_that_cannot_be_are_refused(
    words: Mapping[str, Any], told: str
) -> None:
    with pytest.raises(CallError) as caught:
        timing(DropQuestion("a-cam", **words))
    assert told in str(caught.value)
