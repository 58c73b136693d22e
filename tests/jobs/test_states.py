"""States of a zoom: one of them, the middle of a range, and the lean left at its ends."""

from __future__ import annotations

from math import atan2
from typing import TYPE_CHECKING

import pytest
from jobs.flown import flown, hangs_at

from riglog.errors import CallError
from riglog.jobs.predict import predict
from riglog.jobs.swap import swap

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.swap_answers import SwapAnswer
    from riglog.library import Library

# The document: wide at 95 mm ahead, long at 125 mm ahead and 20 mm up.
ZOOM_KG = 2.4
TILTING_KG = 2.5 + 4.21 + ZOOM_KG + 0.5 + 2.6 + 1.2


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def fitted(library: Library, *states: str, save: str | None = None) -> SwapAnswer:
    return swap(
        library, "a-cam", ["lens-35=zoom"], states=states, free=["base-fore-aft"], save=save
    )


def moved(answer: SwapAnswer) -> dict[str, float]:
    return {move.name: move.to_m for move in answer.moves}


def stands(library: Library, answer: SwapAnswer, state: str) -> tuple[float, float]:
    """Lean and height by the documents alone, with the zoom in a state."""
    from dataclasses import replace

    was = library.standing("a-cam").build
    parts = tuple(
        replace(part, component="zoom") if part.id == "lens-35"
        else replace(part, on=part.on.replace("lens-35", "zoom"))
        for part in was.parts
    )  # fmt: skip
    build = replace(was, parts=parts, states={"zoom": state})
    hangs = hangs_at(library, build, moved(answer))
    below = moved(answer)["pivot"] - float(hangs.cg[2])
    return atan2(float(hangs.cg[0]), below), below


@pytest.mark.parametrize("state", ["wide", "long"])
def test_in_one_state_it_is_trimmed_for_that(library: Library, state: str) -> None:
    answer = fitted(library, f"zoom={state}", save="zoom-cam")
    lean, below = stands(library, answer, state)
    assert lean == pytest.approx(0.0, abs=1e-4)
    assert below > 0
    assert answer.ends == ()
    assert library.standing("zoom-cam").build.states == {"zoom": state}


def test_the_middle_of_a_range_leaves_as_much_lean_at_both_ends(library: Library) -> None:
    answer = fitted(library, "zoom=wide..long", save="zoom-cam")
    wide, long = answer.ends
    assert (wide.part, wide.state, long.state) == ("zoom", "wide", "long")
    for end in (wide, long):
        lean, _ = stands(library, answer, end.state)
        assert end.lean_rad == pytest.approx(lean, abs=1e-4)
    assert wide.lean_rad < 0 < long.lean_rad
    # 30 mm of zoom, shared out evenly.
    shift = ZOOM_KG / TILTING_KG * 0.015
    _, below = stands(library, answer, "wide")
    assert wide.lean_rad == pytest.approx(-atan2(shift, below), rel=1e-3)
    # A range is no state that it stands in.
    assert library.standing("zoom-cam").build.states == {}


def test_the_long_end_that_rises_may_turn_over(library: Library) -> None:
    wide, long = fitted(library, "zoom=wide..long").ends
    assert wide.drop_s is not None
    # 20 mm up at the long end lifts the whole by 1.8 mm from the middle.
    assert long.drop_s is None or long.drop_s > wide.drop_s


def test_where_nobody_says_a_state_both_ends_are_told(library: Library) -> None:
    assert [end.state for end in fitted(library).ends] == ["wide", "long"]


def test_a_state_alone_is_a_question_too(library: Library) -> None:
    swap(library, "a-cam", ["lens-35=zoom", "hood="], states=["zoom=wide"], save="zoom-cam")
    stage = {
        state: moved(swap(library, "zoom-cam", [], states=[f"zoom={state}"]))["stage-fore-aft"]
        for state in ("wide", "long")
    }
    assert stage["long"] < stage["wide"]


def test_predict_tells_how_it_hangs_in_a_state(library: Library) -> None:
    fitted(library, "zoom=wide", save="zoom-cam")
    wide, long = (predict(library, "zoom-cam", states=[f"zoom={s}"]) for s in ("wide", "long"))
    # 30 mm of 2.4 kg.
    assert 1e3 * (long.cg_m[0] - wide.cg_m[0]) == pytest.approx(30 * ZOOM_KG / TILTING_KG)
    middle = predict(library, "zoom-cam", states=["zoom=wide..long"])
    assert middle.cg_m[0] == pytest.approx((wide.cg_m[0] + long.cg_m[0]) / 2)


@pytest.mark.parametrize(
    ("state", "told"),
    [
        ("zoom", "write PART=STATE"),
        ("zoom=lng", "did you mean long"),
        ("zoom=wide..lng", "did you mean long"),
        ("hood=long", "its document lists none"),
        ("zom=long", "did you mean zoom"),
    ],
)
def test_a_state_that_there_is_not_is_refused(library: Library, state: str, told: str) -> None:
    with pytest.raises(CallError, match=told):
        fitted(library, state)
