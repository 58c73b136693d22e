"""Builds that differ in where and how a part sits, and the build in between."""

from __future__ import annotations

from dataclasses import fields, replace
from math import pi
from typing import TYPE_CHECKING, Any

import pytest
from jobs.flown import flown, hangs_at

from riglog.estimation.kit import Hung
from riglog.jobs.diff import diff
from riglog.jobs.differences import made, steps
from riglog.jobs.swap import swap
from riglog.jobs.swap_words import Conversion
from riglog.records import Part, Turn

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.library import Library

# Every field of a part that tells where and how it sits, with another value.
SITS: dict[str, Any] = {
    "on": "stage",
    "offset": (0.01, 0.0, 0.0),
    "turn": Turn(about="x", by=pi),
    "by": "top",
    "sd": (0.002, 0.002, 0.002),
}


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def test_every_field_of_a_part_says_where_it_sits_or_what_it_is() -> None:
    assert {each.name for each in fields(Part)} == {*SITS, "component", "name"}


@pytest.mark.parametrize("field", SITS)
def test_whatever_differs_in_how_a_part_sits_is_a_move_and_is_made(
    library: Library, field: str
) -> None:
    was = library.standing("a-cam").build
    parts = tuple(
        replace(part, **{field: SITS[field]}) if part.id == "screen" else part for part in was.parts
    )
    old, new = (
        Hung(build=build, version="v", settings=build.settings, day="2026-03-14")
        for build in (was, replace(was, parts=parts))
    )
    found = [step.difference for step in steps(old, new, library.component)]
    assert [(each.do, each.what) for each in found] == [("move", "screen")]
    assert made(old, new, found).build.parts == parts


def test_a_camera_hung_by_its_top_moves_the_center_as_by_hand(library: Library) -> None:
    """By the documents: the camera's own center and all on its lens mount, turned half over."""
    low = Conversion("low", by=["body-north=top"], turn=["screen=180deg"])
    swap(library, "a-cam", [], conversion=low, save="a-low")
    answer = diff(library, "a-cam", "a-low")
    effects = {each.what: each.effect for each in answer.differences if each.do == "move"}
    # 170 mm tall: from 85 and 62 mm above the stage to as much less than 170 mm above it.
    camera = 4.21 * (170 - 85 - 85) + (1.12 + 0.5) * (170 - 62 - 62)
    screen = 1.2 * -150
    mass = 2.5 + 4.21 + 1.12 + 0.5 + 2.6 + 1.2
    for name, moment in (("body-north", camera), ("screen", screen)):
        effect = effects[name]
        assert effect is not None
        assert effect.cg_m[2] * 1000 == pytest.approx(moment / mass, abs=0.05)
    assert answer.again is None or abs(answer.again.cg_m[2]) < 1e-9


def test_what_the_changes_do_adds_up_to_the_build_hung_another_way(library: Library) -> None:
    low = Conversion("low", by=["body-north=top"], turn=["screen=180deg"])
    swap(library, "a-cam", [], conversion=low, save="a-low")
    answer = diff(library, "a-cam", "a-low")
    heights = []
    for name in ("a-cam", "a-low"):
        standing = library.standing(name)
        at = {key: float(value) for key, value in standing.settings.items()}  # type: ignore[arg-type]
        heights.append(float(hangs_at(library, standing.build, at).cg[2]))
    assert answer.after is not None
    assert answer.before is not None
    told = answer.after.cg_m[2] - answer.before.cg_m[2]
    assert told == pytest.approx(heights[1] - heights[0], abs=1e-6)
