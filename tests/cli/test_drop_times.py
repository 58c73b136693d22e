"""Ways to tell drop times on the command line, each through the real program and a real file."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]


def test_a_clip_is_recorded_with_its_frame_rate(riglog: Riglog, kit: str) -> None:
    assert kit
    done = riglog("drop", "a-cam", "--frames", "74,75", "--fps", "24000/1001", "--mark", "487mm")
    assert done.status == 0
    assert "from a clip at 23.976 frames a second, each good to 17 ms" in " ".join(done.out.split())
    (reading,) = [
        each
        for each in json.loads(riglog("list", "readings", "--json").out)
        if each.get("method") == "clip"
    ]
    assert (reading["times_s"], reading["method"]) == ([3.086, 3.128], "clip")
    assert reading["fps"] == 24000 / 1001


def test_a_build_in_use_takes_frames_without_being_named(riglog: Riglog, kit: str) -> None:
    assert kit
    riglog("use", "a-cam")
    done = riglog("drop", "--timecode", "01:00:10:05-01:00:13:07", "--fps", "25", "--json")
    assert json.loads(done.out)["measured"]["times_s"] == [3.08]


@pytest.mark.parametrize(
    "words",
    [
        ["--frames", "74"],
        ["--frames", "-74", "--fps", "25"],
        ["--timecode", "01:01:00;00-01:01:03;07", "--fps", "29.97"],
        ["--timecode", "01:00:13:07-01:00:10:05", "--fps", "25"],
    ],
)
def test_a_clip_that_cannot_be_is_refused_and_nothing_recorded(
    riglog: Riglog, kit: str, db: Path, words: list[str]
) -> None:
    assert kit
    before = db.read_bytes()
    done = riglog("drop", "a-cam", *words)
    assert (done.status, done.out) == (2, "")
    assert len(done.err.splitlines()) == 2
    assert db.read_bytes() == before
