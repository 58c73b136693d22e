"""Low mode with its conversion, from documents, held against a rigid-body engine and by hand."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, hypot, pi
from typing import TYPE_CHECKING

import numpy as np
import pytest
from jobs.flown import entries, flown, hangs_at
from mechanics.rigid_body import GRAVITY, Solid, simulated_drop
from scipy.special import ellipk, ellipkinc  # type: ignore[import-untyped]  # scipy ships no types

from riglog.errors import CallError, UnsaidError
from riglog.jobs.predict import predict
from riglog.jobs.swap import swap
from riglog.jobs.swap_words import Conversion
from riglog.records import Part, Turn

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.predict_answers import PredictAnswer
    from riglog.jobs.swap_answers import SwapAnswer
    from riglog.library import Library
    from riglog.records import Setting

LOW = Conversion("low", by=["body-north=top"], turn=["screen=180deg"])
HALF = Turn(about="x", by=pi)


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def converted(library: Library, how: Conversion = LOW, save: str | None = None) -> SwapAnswer:
    return swap(library, "a-cam", [], conversion=how, save=save)


def moves(answer: SwapAnswer) -> dict[str, float]:
    return {move.name: move.to_m for move in answer.moves}


def test_the_camera_hangs_by_its_top_and_the_monitor_is_turned(library: Library) -> None:
    converted(library, save="a-low")
    build = library.standing("a-low").build
    assert build.mode == "low"
    was = library.standing("a-cam").build
    assert build.part("body-north") == Part(component="body-north", on="stage", turn=HALF, by="top")
    assert build.part("screen").turn == HALF
    assert build.part("screen").offset == was.part("screen").offset
    for same in ("post-tube", "lens-35", "hood", "block-battery", "handle"):
        assert build.part(same) == was.part(same)


def test_back_in_high_mode_it_is_the_build_that_it_was(library: Library) -> None:
    converted(library, save="a-low")
    back = Conversion("high", by=["body-north="], turn=["screen=180deg"])
    swap(library, "a-low", [], conversion=back, save="a-high")
    high, was = library.standing("a-high").build, library.standing("a-cam").build
    assert (high.mode, high.parts) == ("high", was.parts)


def solids() -> list[Solid]:
    """The rig of the documents turned over by hand: the post first, all else on it.

    The camera's top is on the stage, 170 mm above its datum, and it stands upright in the world.
    """
    nothing, none = (0.0, 0.0, 0.0), ("x", 0.0)
    over, half = ("x", pi), ("x", pi)
    return [
        Solid(-1, "cylinder-z", (0.05, 0.05, 0.76), 2.5, nothing, over, (0.0, 0.0, 0.38)),
        Solid(0, "box", (0.28, 0.15, 0.17), 4.21, (-0.02, 0, 0.93), half, (0.012, 0, 0.085)),
        Solid(1, "box", (0.12, 0.095, 0.095), 1.12, (0.095, 0, 0.062), none, (0.06, 0, 0)),
        Solid(2, "box", (0.1, 0.15, 0.13), 0.5, (0.118, 0, 0), none, (0.05, 0, 0)),
        Solid(0, "box", (0.1, 0.11, 0.17), 2.6, (-0.15, 0, 0.02), none, (0, 0, 0.085)),
        Solid(0, "box", (0.05, 0.2, 0.15), 1.2, (0.18, 0, 0.02), half, (0, 0, 0.075)),
    ]  # fmt: skip


def fall_s(answer: PredictAnswer, pivot_m: float) -> float:
    """Time to upright with the nose down, by what the answer says of the balance."""
    x, below = answer.cg_m[0], answer.cg_m[2] - pivot_m  # in low mode z points down
    radius, rest = hypot(x, below), atan2(x, below)
    half = np.sin((pi / 2 - rest) / 2)
    end = np.arcsin(np.sin(-rest / 2) / half)
    swing = ellipk(half**2) - ellipkinc(end, half**2)
    inertia = answer.gyration_m**2 + radius**2
    return float(np.sqrt(inertia / (GRAVITY * radius)) * swing)


def test_it_drops_as_the_engine_drops_it_upside_down(library: Library) -> None:
    converted(library, save="a-low")
    rig = library.rig("post-one")
    stage = rig.adjuster("stage-fore-aft")
    settings = {**library.standing("a-low").settings, stage.id: -0.02}
    build = library.standing("a-low").build
    hangs = hangs_at(library, build, {name: float(at) for name, at in settings.items()})  # type: ignore[arg-type]
    told = _at(library, settings)
    assert told.cg_m == pytest.approx([float(each) for each in hangs.cg], abs=1e-9)
    pivot = round(told.cg_m[2] - 0.02, 4)
    engine = simulated_drop(solids(), (0.0, -pivot), pi / 2)
    assert fall_s(told, pivot) == pytest.approx(engine, rel=1e-9)


def _at(library: Library, settings: dict[str, Setting]) -> PredictAnswer:
    build = library.standing("a-low").build
    library.record(replace(build, settings=settings))
    return predict(library, "a-low")


def test_the_hand_goes_the_way_that_the_world_has_it_and_readings_keep_the_scale(
    library: Library,
) -> None:
    answer = converted(library)
    pivot = next(move for move in answer.moves if move.name == "pivot")
    assert pivot.from_m is not None
    assert answer.named.mode == "low"
    # Up in the world is down the scale.
    assert (pivot.toward == "up") is (pivot.to_m < pivot.from_m)
    assert answer.first.set_m <= pivot.set_m + 1e-9
    assert answer.first.toward == "up"


def test_the_order_of_work_turns_it_over_between_off_and_on(library: Library) -> None:
    steps = [(step.do, step.what, step.by) for step in converted(library).steps]
    start = steps.index(("take-off", "hood", ""))
    assert steps[start : start + 8] == [
        ("take-off", "hood", ""),
        ("take-off", "lens-35", ""),
        ("take-off", "body-north", ""),
        ("turn-over", "low", ""),
        ("hang", "body-north", "top"),
        ("fit", "lens-35", ""),
        ("fit", "hood", ""),
        ("turn", "screen", ""),
    ]


def test_every_state_on_the_way_is_looked_at(library: Library) -> None:
    answer = converted(library)
    off, over, on = answer.passages
    assert (off.after, over.after, on.after) == ("take-off", "turn-over", "fit")
    # Without its camera the battery's end hangs down, and turned over it would be on top.
    assert off.turns_over is False
    assert over.turns_over is True
    assert "turns-over" in answer.cautions


def test_a_lens_can_be_swapped_on_the_way(library: Library) -> None:
    answer = swap(library, "a-cam", ["lens-35=lens-75"], conversion=LOW, save="a-low")
    assert answer.after == "lens-75 for lens-35"
    dos = [(step.do, step.what) for step in answer.steps]
    start = dos.index(("take-off", "hood"))
    assert dos[start : start + 8] == [
        ("take-off", "hood"),
        ("take-off", "lens-35"),
        ("take-off", "body-north"),
        ("turn-over", "low"),
        ("hang", "body-north"),
        ("fit", "lens-75"),
        ("fit", "hood"),
        ("turn", "screen"),
    ]
    assert len(dos) == len(set(dos))
    assert library.standing("a-low").build.part("hood").on == "lens-75.front"


def test_a_camera_that_stays_upside_down_is_not_taken_off(library: Library) -> None:
    answer = converted(library, Conversion("low", keep=["body-north", "screen"]), save="a-low")
    assert library.standing("a-low").build.parts == library.standing("a-cam").build.parts
    assert [each.after for each in answer.passages] == ["turn-over"]
    listed_low = swap(library, "low-cam", ["hood="])
    assert listed_low.named.mode == "low"


def test_each_missing_word_is_named_and_nothing_is_recorded(library: Library) -> None:
    before = entries(library)
    with pytest.raises(UnsaidError) as caught:
        converted(library, Conversion("low"), save="a-low")
    assert caught.value.status == 2
    assert caught.value.message == "nobody said how body-north and screen hang in low mode"
    assert caught.value.hint == (
        "add --by body-north=top --turn screen=180deg;"
        " or, left as they are, --keep body-north --keep screen"
    )
    assert entries(library) == before


@pytest.mark.parametrize(
    ("how", "told"),
    [
        (Conversion("lo"), "is no mode; did you mean low"),
        (Conversion("high"), "is in high mode already"),
        (Conversion(None, keep=["screen"]), "which mode"),
        (Conversion("low", by=["body-north"], keep=["screen"]), "write PART=MOUNT"),
        (Conversion("low", by=["body-north=side"], keep=["screen"]), "it has lens and top"),
        (Conversion("low", by=["body-north=lens"], keep=["screen"]), "lens-35 sits on"),
        (Conversion("low", by=["body-north=top"], turn=["screen"]), "write PART=ANGLE"),
        (Conversion("low", by=["body-north=top"], turn=["screen=3s"]), "a time"),
        (Conversion("low", by=["screen=x"], keep=["body-north"]), "it has none"),
        (LOW._replace(keep=["screen"]), "two things were said of screen"),
    ],
)
def test_words_that_make_no_conversion_are_refused(
    library: Library, how: Conversion, told: str
) -> None:
    with pytest.raises(CallError, match=told):
        converted(library, how)


def test_what_is_turned_already_is_turned_on(library: Library) -> None:
    was = library.standing("a-cam").build
    turns = {"z": Turn(about="z", by=pi), "odd": Turn(about="z", by=0.3)}

    def low(turn: Turn) -> Part:
        parts = tuple(replace(p, turn=turn) if p.id == "screen" else p for p in was.parts)
        library.record(replace(was, id="turned", parts=parts))
        swap(library, "turned", [], conversion=LOW, save="turned-low")
        return library.standing("turned-low").build.part("screen")

    # Half about the upright and half about the fore-aft axis is half about the one across.
    assert low(turns["z"]).turn == Turn(about="y", by=pi)
    with pytest.raises(CallError, match="write its turn in low mode into a document"):
        low(turns["odd"])


def test_a_camera_that_hangs_by_its_top_gives_way_to_one_that_can_too(library: Library) -> None:
    converted(library, save="a-low")
    with pytest.raises(CallError, match="body-south has no mount top to hang by"):
        swap(library, "a-low", ["body-north=body-south"])
