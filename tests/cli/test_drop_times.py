"""Ways to tell drop times on the command line, each through the real program and a real file."""

from __future__ import annotations

import json
import math
import re
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


def logged(folder: Path, *, release_deg: float = 90.0, mark: str = ".") -> str:
    """A trace of a rig held for 2 s and let go, friction of a hundredth of its pull."""
    time_s, lean_deg = [], []
    lean, speed, step = math.radians(release_deg), 0.0, 0.001
    for index in range(14_000):
        if index % 20 == 0:
            time_s.append(index * step)
            lean_deg.append(math.degrees(lean) + 0.1 * math.sin(index))
        if index >= 2000:
            speed -= step * W2 * (math.sin(lean) + 0.01 * math.copysign(1.0, speed))
            lean += step * speed
    file = folder / "phone.csv"
    rows = (f"{t:.2f};{a:.2f}".replace(".", mark) for t, a in zip(time_s, lean_deg, strict=True))
    file.write_text("\n".join(["time (s);tilt (deg)", *rows]))
    return str(file)


W2 = (1.854075 / 3.0) ** 2  # drops in 3 s but for friction


def test_a_phones_trace_is_timed_with_its_release_and_the_pivots_friction(
    riglog: Riglog, kit: str, tmp_path: Path
) -> None:
    assert kit
    file = logged(tmp_path, release_deg=80.0, mark=",")
    done = riglog("drop", "a-cam", "--trace", file, "--mark", "487mm", "--json")
    measured = json.loads(done.out)["measured"]
    (found,) = measured["found"]
    # From 80 deg it takes K(sin^2 40 deg) / K(1/2) = 0.9635 as long (A&S table 17.1).
    assert math.isclose(measured["drop_s"], 3.0 * 0.9635, abs_tol=0.04)
    assert math.isclose(found["at_s"], 2.0, abs_tol=0.02)
    assert math.isclose(found["release_deg"], 80.0, abs_tol=0.3)
    assert measured["method"] == "sensor"
    assert 0.01 <= measured["timing_sd_s"] < 0.015
    assert measured["friction_n_m"] > 2 * measured["friction_sd_n_m"] > 0
    shown = riglog("show", json.loads(done.out)["recorded"]).out
    assert "release: 80" in shown
    assert "sd: 0.01" in shown


def test_a_trace_is_answered_in_words(riglog: Riglog, kit: str, tmp_path: Path) -> None:
    assert kit
    done = riglog("drop", "a-cam", "--trace", logged(tmp_path), "--mark", "487mm")
    words = " ".join(done.out.split())
    assert "In the trace, let go at 2.0 s (3.0" in words
    assert "Released 90 deg from where it hangs." in words
    assert re.search(r"friction at the pivot 0\.0\d+ N m \(0\.0\d+ to 0\.0\d+\)", words)


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ("0;1\n1;2\n0,5;3", "phone.csv:4: the time goes back"),
        ("0;1\n1;2\n2;3 rad", "stands in a column that is in deg"),
        ("\n".join(f"{i};0" for i in range(50)), "has no drop in it"),
        ("0;1\n1;2;3", "phone.csv:3: 3 cells stand"),
    ],
)
def test_a_trace_that_tells_nothing_is_refused_by_its_row(
    riglog: Riglog, kit: str, db: Path, tmp_path: Path, rows: str, told: str
) -> None:
    assert kit
    before = db.read_bytes()
    file = tmp_path / "phone.csv"
    file.write_text(f"time (s);tilt (deg)\n{rows}")
    done = riglog("drop", "a-cam", "--trace", str(file))
    assert (done.status, done.out) == (2, "")
    assert told in done.err
    assert db.read_bytes() == before
