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


def mend(done: Done) -> str:
    """What is to be done, below what is wrong; a long one takes several lines."""
    return " ".join(" ".join(done.err.splitlines()[1:]).split())


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
    message = done.err.splitlines()[0]
    assert message == "riglog: nobody said how body-north and screen hang in low mode"
    ways = "--by body-north=top --turn screen=180deg", "--keep body-north --keep screen"
    assert mend(done) == f"add {ways[0]}; or, left as they are, {ways[1]}"
    assert riglog("show", "a-low").status == 3


def asked_on_a_terminal(answers: str, *words: str) -> tuple[str, str]:
    """What a swap prints, and what it asked, with these lines as answers."""
    there, terminal = pty.openpty()
    os.write(there, answers.encode())
    done = subprocess.run(
        [Path(sys.executable).with_name("riglog"), "swap", *words],
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
    return done.stdout, asked


@pytest.mark.usefixtures("flown")
def test_on_a_terminal_the_program_asks() -> None:
    told, asked = asked_on_a_terminal("top\n\n", "a-cam", "--mode", "low", "--save", "l")
    assert told.startswith("Gimbal ")
    assert "What does body-north hang by in low mode: top?" in asked
    assert "By how much is screen turned in low mode, as 180deg?" in asked


@pytest.mark.usefixtures("flown")
def test_there_and_back_by_what_the_program_asks_is_the_build_that_it_was(
    riglog: Callable[..., Done],
) -> None:
    asked_on_a_terminal("top\n180deg\n", "a-cam", "--mode", "low", "--save", "a-low")
    told, asked = asked_on_a_terminal(
        "base\n180deg\n", "a-low", "--mode", "high", "--save", "a-high"
    )
    assert "What does body-north sit on or hang by in high mode: base?" in asked
    assert "By how much more is screen, turned by 180 deg about x now, turned in" in asked
    assert "a-low in high mode, to drop in 3.0 s" in told
    assert "Set body-north on its base." in told
    parts = [
        json.loads(riglog("show", build, "--json").out)["document"]["parts"]
        for build in ("a-cam", "a-high")
    ]
    assert parts[0] == parts[1]


@pytest.mark.usefixtures("flown")
def test_back_in_high_mode_the_hint_leads_to_the_mark_of_the_rig_as_it_was(
    riglog: Callable[..., Done],
) -> None:
    riglog("swap", "a-cam", "--mode", "low", *SAID, "--save", "a-low")
    hint = mend(riglog("swap", "a-low", "--mode", "high"))
    call = hint.removeprefix("add ").split(";")[0].split()
    assert call == ["--by", "body-north=", "--turn", "screen=180deg"]
    back = json.loads(riglog("swap", "a-low", "--mode", "high", *call, "--json").out)
    same = json.loads(riglog("swap", "a-cam", "--drop", "3s", "--json").out)
    marks = [answer["settings"][0]["to_mm"] for answer in (back, same)]
    # Within what the camera's own mount is known to: the same camera on the same stage.
    assert marks[0] == pytest.approx(marks[1], abs=2.0)


@pytest.mark.usefixtures("flown")
@pytest.mark.parametrize(
    ("said", "told", "way"),
    [
        (
            ("--by", "body-north=top", "--turn", "screen=180deg"),
            "body-north hangs by its top already",
            "write --by body-north= for its base or --keep body-north, which leaves it as it is",
        ),
        (
            ("--by", "body-north=", "--turn", "screen=360deg"),
            "screen would stay as it is, turned by 180 deg about x",
            "say how far to turn it from there, or --keep screen to leave it as it is",
        ),
        (
            ("--by", "body-north=", "--by", "block-battery=", "--keep", "screen"),
            "block-battery sits on its base already",
            "write --turn block-battery=180deg or --keep block-battery, which leaves it as it is",
        ),
    ],
)
def test_what_would_hang_as_before_and_be_turned_through_its_plate_is_refused(
    riglog: Callable[..., Done], said: tuple[str, ...], told: str, way: str
) -> None:
    riglog("swap", "a-cam", "--mode", "low", *SAID, "--save", "a-low")
    done = riglog("swap", "a-low", "--mode", "high", *said, "--save", "a-high")
    assert (done.status, done.out) == (2, "")
    assert done.err.splitlines()[0] == f"riglog: {told}"
    assert mend(done) == way
    assert riglog("show", "a-high").status == 3


@pytest.mark.usefixtures("flown")
def test_a_mount_that_something_sits_on_is_named_with_what_comes_off(
    riglog: Callable[..., Done],
) -> None:
    riglog("swap", "a-cam", "=plate@body-north.top", "--set", "plate.run=0mm", "--save", "loaded")
    done = riglog("swap", "loaded", "--mode", "low")
    words = ["plate=", "--by", "body-north=top", "--turn", "screen=180deg"]
    assert mend(done).startswith(f"add {' '.join(words)}; or")
    assert riglog("swap", "loaded", "--mode", "low", *words).status == 0


@pytest.mark.usefixtures("flown")
def test_a_camera_without_a_mount_to_hang_by_is_told_to_get_one(
    riglog: Callable[..., Done],
) -> None:
    riglog("swap", "a-cam", "body-north=body-south", "--save", "south")
    done = riglog("swap", "south", "--mode", "low")
    assert mend(done) == (
        "add --turn screen=180deg; body-south has nothing to hang by: add a mount, such as top,"
        " to its document; or, left as they are, --keep body-south --keep screen"
    )


@pytest.mark.usefixtures("flown")
def test_what_lies_to_a_side_lies_there_as_the_operator_has_it(riglog: Callable[..., Done]) -> None:
    """The right side low says that weight is on the right, in low mode as in high."""
    for build, sign in (("a-cam", -1), ("low-cam", 1)):
        read = ("lean", build, "--side", "5deg", "--pan")
        riglog(*read, "0deg")
        told = json.loads(riglog(*read, "180deg", "--json").out)
        out = " ".join(riglog(*read, "180deg").out.split())
        assert "to the right of the middle: stage left" in out
        (row,) = (line for line in out.split("rig, + left ")[1:])
        shown = float(row.split()[0])
        assert shown < 0
        assert "right side low" in row.split("gimbal")[0]
        # Along the rig, y is to the left in high mode and to the right in low mode.
        (way,) = told["ways"]
        assert way["rig_mm"]["value"] == pytest.approx(sign * abs(shown), abs=0.03)


@pytest.mark.usefixtures("flown")
def test_the_center_of_a_rig_turned_over_is_below_its_zero(riglog: Callable[..., Done]) -> None:
    for build, way in (("a-cam", "up"), ("low-cam", "down")):
        told = json.loads(riglog("predict", build, "--json").out)
        assert told["cg_mm"][2] > 0
        assert f"{told['cg_mm'][2]:.1f} {way} (mm from the rig's zero)" in " ".join(
            riglog("predict", build).out.split()
        )
