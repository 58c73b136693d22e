"""Rings whose guides lean or lie, through the program: the words for their moves."""

from __future__ import annotations

import json
from math import cos, radians
from typing import TYPE_CHECKING

import pytest
from jobs.slanted import SLANTED
from scipy.special import ellipk  # type: ignore[import-untyped]  # scipy ships no types

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]

GRAVITY = 9.80665


@pytest.fixture
def rigs(riglog: Riglog, tmp_path: Path) -> Riglog:
    """The program, with the rings in its library."""
    file = tmp_path / "rings.yaml"
    file.write_text(f"riglog: 1\n{SLANTED}")
    assert riglog("init").status == 0
    assert riglog("add", str(file)).status == 0
    return riglog


def words(done: Done) -> str:
    assert done.status == 0
    return " ".join(done.out.split())


def test_on_guides_that_lean_the_pivots_go_along_them_and_the_slide_goes_with_them(
    rigs: Riglog,
) -> None:
    text = words(rigs("swap", "slant", "slant-lens=slant-long", "--save", "long"))
    told = json.loads(rigs("swap", "slant", "slant-lens=slant-long", "--json").out)
    first = told["first"]
    (cradle,) = first["settings"]
    assert cradle["adjuster"] == "cradle-fore-aft"
    at = f"start at {first['pivot_mm']:g} with the cradle at {cradle['set_mm']:g}."
    assert text.startswith("Side pivots down ")
    assert at in text
    assert "further up the guides than the final mark" in text
    assert "the side pivots along their guides, both to the same reading, to the first mark" in text
    done = rigs("drop", "long", "1.2", "1.3", "--mark", f"{first['pivot_mm']}mm", "--want", "2s")
    line = " ".join(done.out.split("\n\n")[0].split())
    assert line.startswith("Side pivots down ")
    assert ", cradle back " in line
    assert "and the cradle back" in words(done)
    assert "so that it stays in trim; then trim it again" in words(done)
    (slide,) = json.loads(rigs("drop", "long", "1.2", "--want", "2s", "--json").out)["with_it"]
    assert (slide["adjuster"], slide["toward"]) == ("cradle-fore-aft", "back")


def test_on_guides_that_lie_the_pivots_go_forward_and_back(rigs: Riglog) -> None:
    text = words(rigs("swap", "flat", "slant-lens=slant-long"))
    assert text.startswith("Cradle ")
    assert ", side pivots forward " in text
    assert "Start the cradle at " in text
    assert "lower than the final mark" in text
    assert "riglog drop flat --set cradle-height=" in text
    assert "Move the side pivots forward by " in text
    assert "both to the same reading, to " in text
    assert "(left forward " in text
    assert " the cradle, to the first mark: " in text
    assert "mark where the cradle now stands" in text
    done = rigs("drop", "flat", "1.4", "--set", "cradle-height=-20mm", "--want", "2.5s")
    assert done.out.startswith("Cradle up ")
    assert (
        "The side pivots were assumed to stand at -12.0/-11.0 mm: look at their scales."
        in words(done)
    )
    # Nose down, the axis goes forward to the center of gravity.
    leaned = rigs("lean", "flat", "30deg")
    assert "nose down: side pivots forward " in words(leaned)
    told = json.loads(rigs("drop", "flat", "1.4", "--want", "2.5s", "--json").out)
    assert told["adjuster"] == "cradle-height"
    assert list(told["move"]) == ["cradle-height_mm"]


def test_where_nothing_sets_the_drop_that_is_said(rigs: Riglog) -> None:
    text = words(rigs("swap", "bare", "slant-lens=slant-long"))
    assert text.startswith("Side pivots forward ")
    assert "trimmed, its drop time as it comes" in text
    assert "nothing sets the drop time. Expected: " in text
    done = rigs("swap", "bare", "slant-lens=slant-long", "--drop", "2s")
    assert (done.status, done.out) == (3, "")
    why = "its guides lie fore and aft, and no adjuster moves a part up and down"
    assert done.err.splitlines() == [
        f"riglog: nothing on bare sets its drop time: {why}",
        "  ask for no drop time, or list an adjuster along z under a part's mount",
    ]


@pytest.mark.parametrize("name", ["slant", "flat", "bare"])
def test_every_page_holds_80_columns(rigs: Riglog, name: str) -> None:
    for asked in (
        ("predict", name), ("trim", name), ("swap", name, "slant-lens=slant-long"),
        ("drop", name, "1.1", "1.0"), ("lean", name, "2deg"), ("check", name),
    ):  # fmt: skip
        done = rigs(*asked)
        assert done.status == 0, asked
        assert all(len(line) <= 80 for line in done.out.splitlines())
        assert rigs(*asked, "--json").status == 0


def test_neutral_counts_what_the_guides_rise_by(riglog: Riglog) -> None:
    lean, k = radians(25), 0.18

    def drops(mark_m: float) -> str:
        depth = (mark_m - 0.2) * cos(lean)
        return f"{float(ellipk(0.5)) * ((k * k + depth**2) / (GRAVITY * depth)) ** 0.5:.4f}"

    marks = [f"{1000 * mark:g}mm={drops(mark)}" for mark in (0.205, 0.212, 0.222)]
    asked = ("neutral", *marks, "--want", "2s", "--guides-lean", "25deg")
    told = json.loads(riglog(*asked, "--json").out)
    assert told["neutral_mm"]["value"] == pytest.approx(200.0, abs=0.5)
    # What is usual of a rig pulls it up by a little.
    assert told["gyration_mm"]["value"] == pytest.approx(180.0, rel=0.03)
    assert told["guides_lean_deg"] == pytest.approx(25.0)
    assert "--guides-lean 25deg" in riglog(*asked).out
    # Upright guides with those drops would be another rig.
    upright = json.loads(riglog("neutral", *marks, "--json").out)
    ratio = told["gyration_mm"]["value"] / upright["gyration_mm"]["value"]
    assert ratio == pytest.approx(cos(lean) ** 0.5, rel=0.01)
    done = riglog("neutral", *marks, "--guides-lean", "75deg")
    assert (done.status, done.out) == (2, "")
    assert done.err.splitlines() == [
        'riglog: guides that lean by "75deg" hardly raise the pivot',
        "  write at most 60 deg: on guides that lie no mark tells neutral",
    ]
