"""Drops nose up and nose down, through the program."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from jobs.flown import WHOLE

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done


def test_dropped_both_ways_a_rig_tells_how_far_off_trim_it_hangs(
    riglog: Callable[..., Done], tmp_path: Path
) -> None:
    file = tmp_path / "flown.yaml"
    file.write_text(WHOLE)
    riglog("init")
    riglog("add", str(file))
    words = ("a-cam", "--mark", "518mm", "--want", "3s", "--method", "sensor")
    up = riglog("drop", "2.30", "2.30", *words[1:], "--from", "up")
    assert up.status == 2  # no build is in use
    up = riglog("drop", words[0], "2.30", "2.30", *words[1:], "--from", "up")
    assert "Drop it nose down too" in " ".join(up.out.split())
    down = riglog("drop", words[0], "2.60", "2.60", *words[1:], "--from", "down")
    assert "Nose up 2.30 s, nose down 2.60 s." in " ".join(down.out.split())
    told = json.loads(riglog("drop", *words, "2.60", "--from", "down", "--json").out)
    assert told["off_trim"]["forward_mm"]["value"] > 0
    assert told["off_trim"]["toward"] == "back"
