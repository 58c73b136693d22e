"""The conversion to low mode, through the program: with its words, without, and on a terminal."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from jobs.flown import WHOLE

if TYPE_CHECKING:
    from collections.abc import Callable

    from cli.conftest import Done

SAID = ("--by", "body-north=top", "--turn", "screen=180deg")


@pytest.fixture
def flown(riglog: Callable[..., Done], tmp_path: Path) -> Path:
    """A library with a post rig in high mode."""
    file = tmp_path / "flown.yaml"
    file.write_text(WHOLE)
    assert riglog("init").status == 0
    assert riglog("add", str(file)).status == 0
    return file


@pytest.mark.usefixtures("flown")
def test_the_rig_is_turned_over_and_recorded(riglog: Callable[..., Done]) -> None:
    done = riglog("swap", "a-cam", "--mode", "low", *SAID, "--save", "a-low")
    assert done.status == 0
    lines = done.out.splitlines()
    assert lines[0].startswith("Gimbal ")
    assert lines[2].startswith("a-cam in low mode, to drop in 3.0 s")
    assert "riglog drop a-low --mark" in done.out
    assert "less at the camera" in done.out
    shown = json.loads(riglog("show", "a-low", "--json").out)["document"]
    assert shown["mode"] == "low"
    assert {"about": "x", "by": "180 deg"} in [part.get("turn") for part in shown["parts"]]
    assert "top" in [part.get("by") for part in shown["parts"]]
    assert json.loads(riglog("predict", "a-low", "--json").out)["drop_s"]["value"] > 0


@pytest.mark.usefixtures("flown")
def test_where_nobody_can_be_asked_each_missing_word_is_named(riglog: Callable[..., Done]) -> None:
    done = riglog("swap", "a-cam", "--mode", "low", "--save", "a-low")
    assert (done.status, done.out) == (2, "")
    message, hint = done.err.splitlines()
    assert message == "riglog: nobody said how body-north and screen hang in low mode"
    ways = "--by body-north=top --turn screen=180deg", "--keep body-north --keep screen"
    assert hint == f"  add {ways[0]}; or, left as they are, {ways[1]}"
    assert riglog("show", "a-low").status == 3


@pytest.mark.usefixtures("flown")
def test_on_a_terminal_the_program_asks() -> None:
    there, terminal = pty.openpty()
    os.write(there, b"top\n\n")
    done = subprocess.run(
        [Path(sys.executable).with_name("riglog"), "swap", "a-cam", "--mode", "low", "--save", "l"],
        stdin=terminal,
        stderr=terminal,
        stdout=subprocess.PIPE,
        text=True,
        check=False,
    )
    asked = os.read(there, 4096).decode()
    os.close(there)
    os.close(terminal)
    assert done.returncode == 0
    assert done.stdout.startswith("Gimbal ")
    assert "Which of its mounts (top) does body-north hang by in low mode?" in asked
    assert "By how much is screen turned in low mode, as 180deg?" in asked
