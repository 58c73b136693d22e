"""`lens-table`: what it says of a lens is what a swap to that lens says."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from jobs.flown import flown

from riglog.errors import CallError, UnreachableError
from riglog.jobs.lens_table import lens_table
from riglog.jobs.swap import swap

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.lens_table_answers import LensRow, LensTableAnswer
    from riglog.library import Library

# Lenses flown on both builds, one reading far off, so that some explanations are wild.
READINGS = """\
riglog: 1
components:
  - id: giant
    kind: lens
    mass: 4 kg
    size: [300 mm, 120 mm, 120 mm]
    mounts: {front: [298 mm, 0 mm, 0 mm]}
readings:
  - {build: a-cam, kind: drop, times: [3.1 s, 3.0 s], on: 2026-03-14T09:10:00+01:00}
  - build: a-cam
    kind: drop
    times: [2.4 s]
    settings: {pivot: 521 mm}
    on: 2026-03-14T09:20:00+01:00
  - build: a-cam
    kind: drop
    times: [2.0 s]
    settings: {pivot: 518 mm}
    on: 2026-03-15T09:20:00+01:00
  - {build: a-cam, kind: hangs-upright, on: 2026-03-15T09:30:00+01:00}
"""
DROPS = ["2s", "5s"]


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path, READINGS) as opened:
        yield opened


def rows(answer: LensTableAnswer) -> dict[str, LensRow]:
    return {row.lens: row for row in answer.rows}


@pytest.mark.parametrize("build", ["a-cam", "low-cam"])
def test_each_row_says_what_the_swap_to_that_lens_says(library: Library, build: str) -> None:
    lenses = ["lens-75-b", "lens-new", "zoom"]
    table = rows(lens_table(library, build, "lens-35", lenses, wanted=DROPS))
    for lens in lenses:
        for number, wanted in enumerate(DROPS):
            answer = swap(library, build, [f"lens-35={lens}"], wanted=wanted, free=["base"])
            moves = {move.name: move for move in answer.moves}
            mark = table[lens].marks[number]
            assert mark is not None
            told = (mark.to_m, mark.low_m, mark.high_m, mark.first_m, table[lens].mass_kg)
            pivot = moves["pivot"]
            said = (pivot.to_m, pivot.low_m, pivot.high_m, answer.first.set_m, answer.mass_kg)
            assert told == pytest.approx(said, abs=2e-6)
        for slide in table[lens].slides:
            if not slide.beyond_m:
                move = moves[slide.name]
                told = (slide.to_m, slide.low_m, slide.high_m)
                assert told == pytest.approx((move.to_m, move.low_m, move.high_m), abs=2e-6)


def test_lenses_stand_in_the_order_of_the_kit_and_the_one_that_is_on_among_them(
    library: Library,
) -> None:
    answer = lens_table(library, "a-cam", "lens-35", ["lens-*", "zoom"])
    assert [row.lens for row in answer.rows] == [
        "lens-35", "lens-75", "lens-75-b", "lens-new", "lens-bare", "zoom",
    ]  # fmt: skip
    assert [row.lens for row in answer.rows if row.on] == ["lens-35"]
    assert answer.wanted_s == [3.0]


def test_a_lens_without_the_mount_for_what_sits_on_it_has_a_row_that_says_so(
    library: Library,
) -> None:
    bare = rows(lens_table(library, "a-cam", "lens-35", ["lens-*"]))["lens-bare"]
    assert bare.why == "lens-bare has no mount front for hood"
    assert not bare.marks
    with pytest.raises(CallError, match="no lens can go on: lens-bare has no mount"):
        lens_table(library, "a-cam", "lens-35", ["lens-bare"])


def test_what_lies_past_a_travel_says_by_how_much(library: Library) -> None:
    (row,) = lens_table(library, "a-cam", "lens-35", ["giant"]).rows
    (stage,) = (slide for slide in row.slides if slide.name == "stage-fore-aft")
    assert stage.to_m < -0.08  # its travel ends there
    assert stage.beyond_m == pytest.approx(stage.to_m + 0.08)
    with pytest.raises(UnreachableError, match="stage-fore-aft would have to stand at"):
        swap(library, "a-cam", ["lens-35=giant"])


def test_a_drop_sooner_than_any_is_no_mark_and_refused_where_nothing_else_is_asked(
    library: Library,
) -> None:
    (row,) = lens_table(library, "a-cam", "lens-35", ["lens-75"], wanted=["0.4s", "3s"]).rows
    assert row.marks[0] is None
    assert row.marks[1] is not None
    with pytest.raises(UnreachableError, match=r"no lens drops in 0\.4 s"):
        lens_table(library, "a-cam", "lens-35", ["lens-75"], wanted=["0.4s"])


def test_a_pivot_or_stage_that_is_held_stays(library: Library) -> None:
    (row,) = lens_table(
        library, "a-cam", "lens-35", ["lens-75"], hold=["stage-fore-aft"]
    ).rows  # so the next one along does it
    assert [slide.name for slide in row.slides] == ["base-fore-aft", "stage-side"]


@pytest.mark.parametrize(
    ("old", "lenses", "says"),
    [
        ("lens-35", ["x-*"], 'no component fits "x-*"'),
        ("lens-35", ["hood"], "none of hood is a lens"),
        ("lens-36", ["lens-*"], 'a-cam has no part "lens-36"'),
        ("lens-35", [], "no lens was named"),
    ],
)
def test_words_that_fit_nothing_are_refused(
    library: Library, old: str, lenses: list[str], says: str
) -> None:
    with pytest.raises(CallError) as refused:
        lens_table(library, "a-cam", old, lenses)
    assert refused.value.message == says
