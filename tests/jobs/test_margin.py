"""The margin to neutral: the same in every answer, and by hand from the documents."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from jobs.flown import flown, hangs_at, question
from jobs.rings import RING

from riglog.jobs.drop import drop
from riglog.jobs.predict import predict
from riglog.jobs.shot import shot
from riglog.jobs.shot_question import ShotQuestion
from riglog.jobs.swap import swap
from riglog.wording import say

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.library import Library

# A ring turned over, whose pivots stand 50 mm from where any of these drop times has them.
LOW_RING = RING.replace("id: hand-ring", "id: low-ring").replace(
    "    rig: ring-one\n", "    rig: ring-one\n    mode: low\n"
)
PARTED = LOW_RING.index("builds:")
BUILDS = ("a-cam", "low-cam", "hand-ring", "low-ring")
STANDS_AT = {"hand-ring": "80mm", "low-ring": "200mm"}
WORDS = {
    "a-cam": "more at the camera",
    "low-cam": "less at the camera",
    "hand-ring": "more on top of the camera",
    "low-ring": "more on the upper side of the camera",
}


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path, RING + LOW_RING[PARTED + len("builds:\n") :]) as opened:
        yield opened


@pytest.mark.parametrize("build", BUILDS)
def test_a_row_of_shot_has_the_margin_that_a_swap_to_that_drop_time_has(
    library: Library, build: str
) -> None:
    rows = shot(library, build, ShotQuestion(drops=["2s", "3s", "5s"])).rows
    assert len(rows) == 3
    for row in rows:
        there = swap(library, build, [], wanted=f"{row.drop_s:g}s")
        assert row.margin_kg is not None
        assert row.margin_kg.value == pytest.approx(there.margin_kg, rel=1e-2)


@pytest.mark.parametrize("build", BUILDS)
def test_so_much_more_or_less_where_it_says_brings_it_to_neutral(
    library: Library, build: str
) -> None:
    """By the documents: the camera's middle on a post; its upper end in a ring, as it hangs."""
    (row,) = shot(library, build, ShotQuestion(drops=["2s"])).rows
    standing = library.standing(build)
    at = dict.fromkeys(standing.settings, 0.0) | {"pivot": row.mark.to_m}
    hangs = hangs_at(library, standing.build, at)
    mass, center, margin = (
        float(hangs.mass),
        float(hangs.cg[2]),
        row.margin_kg and row.margin_kg.value,
    )
    assert margin is not None
    # The camera's middle is 85 mm above the stage; in the ring it reaches from 60 to 210 mm.
    where = {"hand-ring": 0.210, "low-ring": 0.060}.get(build, 0.760 + 0.085)
    change = -margin if WORDS[build].startswith("less") else margin
    moved = (mass * center + change * where) / (mass + change)
    assert moved == pytest.approx(row.mark.to_m, abs=0.0003)


@pytest.mark.parametrize("build", BUILDS)
def test_every_answer_says_more_or_less_and_where_alike(library: Library, build: str) -> None:
    answers = [
        shot(library, build, ShotQuestion(drops=["2s"])),
        swap(library, build, [], wanted="2s"),
        drop(library, question(build, "2.1", "2.0")),
        predict(library, build, f"{_mark(library, build) * 1000:.1f}mm"),
    ]
    for answer in answers:
        text = " ".join(say(answer).split())
        assert f"g {WORDS[build]}" in text or f"grams {WORDS[build]}" in text
        assert text.count("the camera") >= 1


def _mark(library: Library, build: str) -> float:
    return shot(library, build, ShotQuestion(drops=["2s"])).rows[0].mark.set_m
