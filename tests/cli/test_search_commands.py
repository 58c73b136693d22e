from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from riglog.demo_db.generate import FOLDER, true_mark_m

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]


@pytest.fixture
def demo(riglog: Riglog, db: Path) -> None:
    """The demonstration library, with its post rig in use as it stood on the second day."""
    assert riglog("init").status == 0
    for document in sorted(FOLDER.glob("*.yaml")):
        assert riglog("add", str(document)).status == 0
    assert riglog("use", "a-cam").status == 0
    assert db.exists()


@pytest.mark.usefixtures("demo")
def test_yesterdays_lens_is_back_on_in_one_command(riglog: Riglog) -> None:
    done = riglog("find", "--with", "lens-40", "--on", "2026-03-13")
    assert (done.status, done.err) == (0, "")
    first, _, _, compared, _, *blocks = done.out.splitlines()
    assert first.startswith("Gimbal to 5")
    assert "start at 5" in first
    assert compared == "Compared with a-cam@4 with lens-40 for lens-100."
    assert blocks[0].startswith("1. a-cam@2 at 551.0 mm, 3.1 s, 2026-03-13 10:20, kim")
    assert blocks[1] == "   the same parts"
    assert blocks[2].startswith("   now 55")
    assert max(map(len, done.out.splitlines())) <= 80


@pytest.mark.usefixtures("demo")
def test_the_mark_for_now_holds_where_the_hidden_rig_wants_it(riglog: Riglog) -> None:
    found, *_ = json.loads(riglog("find", "--with", "lens-40", "--on", "2026-03-13", "--json").out)
    truth_mm = 1000 * true_mark_m(found["drop_s"])
    mark = found["now"]["pivot_mm"]
    assert mark["low"] < truth_mm < mark["high"]
    assert mark["high"] - mark["low"] < 4
    assert found["now"]["first_mm"] >= mark["value"] - 0.5


@pytest.mark.usefixtures("demo")
def test_finds_are_an_array_in_json(riglog: Riglog) -> None:
    found = json.loads(riglog("find", "--with", "lens-40", "--json").out)
    assert [(each["build"], each["version"]) for each in found] == [("a-cam", 2), ("b-cam", 2)]
    assert found[1]["gone"] == ["body-heron"]
    assert found[1]["come"] == ["body-wren"]
    assert found[0]["times_s"]


@pytest.mark.usefixtures("demo")
def test_without_a_build_to_compare_with_it_says_so(riglog: Riglog) -> None:
    done = riglog("find", "lens-65", "--author", "somebody")
    assert done.out.splitlines()[0] == "555.5 mm, 3.0 s, 2026-03-13 13:28."
    assert "No build is in use" in done.out


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (["--with", "lens-9"], 3, 'there is no component "lens-9"'),
        (["--with", "lens"], 2, "fits several"),
        (["--on", "someday"], 2, '"someday" is no day'),
        (["--on", "2020-01-01"], 3, "try it without --on"),
        (['"quoted* (NEAR'], 3, "nothing is logged that fits"),
        (["-n", "0"], 2, "is no number of finds"),
        (["--build", "z-cam"], 3, "there is no build"),
    ],
)
def test_what_cannot_be_found_is_said_in_one_line(
    riglog: Riglog, words: list[str], status: int, told: str
) -> None:
    done = riglog("find", *words)
    assert (done.status, done.out) == (status, "")
    assert told in done.err
    assert json.loads(riglog("find", *words, "--json").out)["error"]["status"] == status
