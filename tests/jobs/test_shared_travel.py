"""Slides along one axis: which is let free when one is too short, and what each may still go."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from jobs.flown import flown

from riglog.errors import UnreachableError
from riglog.jobs.swap import swap
from riglog.wording import say, tell

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from riglog.jobs.answers import Move
    from riglog.jobs.swap_answers import SwapAnswer
    from riglog.library import Library

# Between stage and camera a fine stage and a dovetail. A slide of the rig moves the battery.
TALL = """\
components:
  - id: knobs
    kind: stage
    mass: 1.3 kg
    size: [160 mm, 120 mm, 60 mm]
    mounts: {top: {at: [0 mm, 0 mm, 60 mm], moved_by: [fine-x]}}
    adjusters: [{id: fine-x, axis: x, travel: [-3 mm, 3 mm], step: 0.2 mm}]
  - id: dove
    kind: dovetail
    mass: 600 g
    size: [260 mm, 90 mm, 16 mm]
    mounts: {top: {at: [0 mm, 0 mm, 16 mm], moved_by: [slide]}}
    adjusters: [{id: slide, axis: x, travel: [-100 mm, 100 mm], step: 1 mm}]
  - {id: long-lens, kind: lens, mass: 1.8 kg, size: [160 mm, 95 mm, 95 mm]}
  - {id: short-lens, kind: lens, mass: 1.2 kg, size: [120 mm, 90 mm, 90 mm]}
rigs:
  - id: post-tall
    type: post
    mounts:
      post: [0 mm, 0 mm, 0 mm]
      stage: [0 mm, 0 mm, 760 mm]
      base: {at: [0 mm, 0 mm, 10 mm], moved_by: [base-x]}
    adjusters:
      - {id: pivot, axis: z, travel: [300 mm, 700 mm], step: 0.5 mm}
      - {id: base-x, axis: x, travel: [-10 mm, 10 mm], step: 1 mm}
builds:
  - id: tall
    rig: post-tall
    wanted_drop: 3 s
    parts:
      - {component: post-tube, on: post}
      - {component: knobs, on: stage}
      - {component: dove, on: knobs.top}
      - {component: body-north, on: dove.top, offset: [-75 mm, 0 mm, 0 mm]}
      - {component: short-lens, on: body-north.lens}
      - {component: block-battery, on: base, offset: [60 mm, 0 mm, 0 mm]}
    settings: {pivot: 500 mm, base-x: 0 mm, dove.slide: 0 mm, knobs.fine-x: 0 mm}
"""
CHANGE = ["short-lens=long-lens"]
BOTH = ("dove.slide", "knobs.fine-x")


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path, TALL) as opened:
        yield opened


def swapped(library: Library, free: Sequence[str], hold: Sequence[str] = ()) -> SwapAnswer:
    return swap(library, "tall", CHANGE, free=free, hold=hold)


def moved(answer: SwapAnswer, name: str) -> Move:
    return next(move for move in answer.moves if move.name == name)


def test_where_a_slide_is_too_short_one_with_the_travel_is_named_and_it_is_enough(
    library: Library,
) -> None:
    with pytest.raises(UnreachableError, match="base-x would have to stand at") as refused:
        swapped(library, [])
    assert refused.value.hint is not None
    assert refused.value.hint.startswith("let another move (--free dove.slide), or ")
    assert abs(moved(swapped(library, ["dove.slide"]), "dove.slide").to_m) < 0.1
    # The fine one alone, which is listed before it, is too short.
    with pytest.raises(UnreachableError):
        swapped(library, ["knobs.fine-x"])


def hinted(folder: Path, shortest: str) -> tuple[str, bool]:
    """The hint with a dovetail that goes so far back only, and whether all let free are enough."""
    with flown(folder, TALL.replace("travel: [-100 mm", f"travel: [{shortest}")) as library:
        with pytest.raises(UnreachableError) as refused:
            swapped(library, [])
        with pytest.raises(UnreachableError):
            swapped(library, ["dove.slide"])
        try:
            enough = bool(swapped(library, BOTH))
        except UnreachableError:
            enough = False
    assert refused.value.hint is not None
    return refused.value.hint, enough


def test_where_only_all_together_have_the_travel_all_are_named(tmp_path: Path) -> None:
    """With the base at its end the dovetail would go back by 7.4 mm, the fine one by 3."""
    hint, enough = hinted(tmp_path, "-6 mm")
    assert hint.startswith("let others move (--free dove.slide --free knobs.fine-x), or ")
    assert enough


def test_where_all_together_are_too_short_none_is_named(tmp_path: Path) -> None:
    hint, enough = hinted(tmp_path, "-3 mm")
    assert hint == "move a part by hand and record where it sits"
    assert not enough


def test_the_fine_one_has_the_bounds_within_its_travel_and_the_coarse_one_what_it_lacks(
    library: Library,
) -> None:
    """What both may have to do together is what one alone would have to do, for the same trim."""
    answer = swapped(library, BOTH, ["base-x"])
    coarse, fine = (moved(answer, name) for name in BOTH)
    alone = moved(swapped(library, [], ["base-x", "knobs.fine-x"]), "dove.slide")
    assert fine.low_m is not None
    assert fine.high_m is not None
    assert (fine.low_m, fine.high_m) == pytest.approx((-0.003, 0.003))
    assert coarse.low_m is not None
    assert coarse.high_m is not None
    assert coarse.low_m < coarse.to_m < coarse.high_m
    # Either moves camera and lens by as much, the fine one the dovetail's plate too.
    ratio = (4.21 + 1.8) / (4.21 + 1.8 + 0.6)
    assert alone.low_m is not None
    assert alone.high_m is not None
    shared = (fine.high_m - fine.low_m) / ratio + coarse.high_m - coarse.low_m
    assert shared == pytest.approx(alone.high_m - alone.low_m, rel=0.02)


def test_a_coarse_one_that_lacks_nothing_has_no_bounds_of_its_own(library: Library) -> None:
    answer = swapped(library, ["dove.slide"])
    end = moved(answer, "base-x")
    assert (end.to_m, end.low_m, end.high_m) == (-0.01, None, None)
    (line,) = (line for line in say(answer).splitlines() if line.startswith("base "))
    assert line.split() == ["base", "0", "-10", "back", "10"]
    (told,) = (each for each in tell(answer)["settings"] if each["adjuster"] == "base-x")
    assert (told["to_mm"], told["low_mm"], told["high_mm"]) == (-10.0, None, None)
