"""A swap that is made has to be saved before its drop: else that counts for the build as it was."""

from __future__ import annotations

import json
import shlex
from typing import TYPE_CHECKING

import pytest
from jobs.flown import WHOLE

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]


@pytest.fixture(autouse=True)
def flown(riglog: Riglog, tmp_path: Path) -> None:
    """A library with flown rigs."""
    file = tmp_path / "flown.yaml"
    file.write_text(WHOLE)
    assert riglog("init").status == 0
    assert riglog("add", str(file)).status == 0


def commands(page: str) -> list[list[str]]:
    """The commands that a page asks for next, as a shell reads them."""
    whole = page.replace(" \\\n   ", "").splitlines()
    return [shlex.split(line)[1:] for line in whole if line.startswith("  riglog ")]


def test_the_commands_below_a_swap_log_its_drop_with_the_lens_that_went_on(riglog: Riglog) -> None:
    swapped = riglog("swap", "a-cam", "lens-35=lens-75", "--drop", "3s")
    save, drop = commands(swapped.out)
    assert save == ["swap", "a-cam", "lens-35=lens-75", "--drop", "3s", "--save", "a-cam"]
    saved = riglog(*save)
    assert saved.out.splitlines()[0] == swapped.out.splitlines()[0]
    assert commands(saved.out) == [drop]
    done = riglog(*[each.replace("SECONDS...", "2.9") for each in drop])
    assert done.status == 0
    assert done.out.split("\n\n")[1].startswith("a-cam with lens-75 at ")
    assert "Not what was expected" not in done.out
    parts = json.loads(riglog("show", "a-cam", "--json").out)["document"]["parts"]
    assert "lens-75" in [part["component"] for part in parts]


def test_a_drop_names_the_lens_that_it_counts_for(riglog: Riglog) -> None:
    riglog("swap", "a-cam", "lens-35=lens-75")
    done = riglog("drop", "a-cam", "2.9", "--mark", "489mm")
    assert done.out.split("\n\n")[1].startswith("a-cam with lens-35 at 489.0 mm: 2.9 s, one drop.")


@pytest.mark.parametrize(
    "words",
    [
        ["a-cam", "lens-35=zoom", "--state", "zoom=wide", "--free", "base-fore-aft"],
        ["a-cam@1", "=nd-9@base", "--set", "pivot=19 1/4 in", "--hold", "stage-side"],
        ["a-cam", "--mode", "low", "--by", "body-north=top", "--turn", "screen=180 deg"],
        ["low-cam", "--mode", "high", "--keep", "body-north", "--keep", "screen"],
        ["a-cam", "lens-35=", "hood=", "--drop", "2.5 s"],
    ],
)
def test_saving_asks_the_same_again_whatever_was_asked(riglog: Riglog, words: list[str]) -> None:
    asked = json.loads(riglog("swap", *words, "--json").out)
    save, _ = commands(riglog("swap", *words).out)
    saved = json.loads(riglog(*save, "--json").out)
    assert saved.pop("saved") == asked["build"]
    assert asked.pop("saved") is None
    assert saved == asked


def test_a_lens_set_says_to_save_the_swap_of_the_one_that_goes_on(riglog: Riglog) -> None:
    page = riglog("lens-table", "a-cam", "--swap", "lens-35", "--with", "lens-*").out
    assert commands(page) == [["swap", "a-cam", "lens-35=LENS", "--save", "a-cam"]]


def test_of_the_same_build_for_another_drop_time_the_drop_tells_all_that_moved(
    riglog: Riglog,
) -> None:
    kept = ["--hold", "stage-fore-aft", "--hold", "stage-side"]
    (drop,) = commands(riglog("swap", "a-cam", "--drop", "4s", *kept).out)
    assert drop[:2] == ["drop", "a-cam"]
    assert "--set" not in drop
    moved = riglog("swap", "a-cam", "--drop", "4s", "--set", "stage-fore-aft=20mm")
    (drop,) = commands(moved.out)
    (reading,) = [each for each in drop if each.startswith("stage-fore-aft=")]
    assert reading != "stage-fore-aft=20mm"
    assert riglog(*[each.replace("SECONDS...", "3.9") for each in drop]).status == 0
    stands = json.loads(riglog("show", "a-cam", "--json").out)["settings"]
    (stage,) = [each["at_mm"] for each in stands if each["adjuster"] == "stage-fore-aft"]
    assert f"{stage:g}mm" == reading.partition("=")[2]


def test_the_drop_after_a_trim_tells_where_the_slides_went(riglog: Riglog) -> None:
    assert riglog("lean", "a-cam", "6deg").status == 0
    (drop,) = commands(riglog("trim", "a-cam").out)
    (reading,) = [each for each in drop if each.startswith("stage-fore-aft=")]
    assert reading
    assert riglog(*[each.replace("SECONDS...", "2.9") for each in drop]).status == 0
