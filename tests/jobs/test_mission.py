"""Swaps, drops and predictions on the demonstration's rig, whose truth is hidden from the program.

Trade facts that are checked here are common practice, no source: raising the pivot shortens the
drop and makes it bottom heavy, lowering it goes through neutral to top heavy, and near neutral the
same move changes the drop time far more.
"""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from riglog.errors import CallError, NotFoundError, UnreachableError
from riglog.jobs.demo import demo
from riglog.jobs.demo_steps import LIBRARY
from riglog.jobs.drop import drop
from riglog.jobs.predict import predict
from riglog.jobs.questions import DropQuestion
from riglog.jobs.swap import swap
from riglog.library import Library

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.answers import Move
    from riglog.jobs.swap_answers import SwapAnswer


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration library, made once."""
    folder = tmp_path_factory.mktemp("demo") / "kept"
    demo(folder)
    return folder / LIBRARY


@pytest.fixture
def library(kept: Path, tmp_path: Path) -> Iterator[Library]:
    """A copy of it that may be written."""
    with Library.open(shutil.copy(kept, tmp_path / LIBRARY), "kim", write=True) as opened:
        yield opened


def moves(answer: SwapAnswer) -> dict[str, Move]:
    return {move.name: move for move in answer.moves}


def entries(library: Library) -> int:
    return sum(1 for _ in library.logbook.log())


def test_a_lighter_lens_lowers_the_pivot_and_brings_the_stage_forward(library: Library) -> None:
    there = moves(swap(library, "a-cam", ["lens-100=lens-40"], wanted="3s"))
    assert there["pivot"].toward == "down"
    assert there["stage-fore-aft"].toward == "forward"
    assert there["base-fore-aft"].move_m == 0.0
    assert not there["base-fore-aft"].free


def test_a_longer_drop_asks_for_a_lower_pivot(library: Library) -> None:
    marks = [
        moves(swap(library, "a-cam", ["lens-100=lens-40"], wanted=wanted))["pivot"].to_m
        for wanted in ("2s", "3s", "5s")
    ]
    assert marks == sorted(marks, reverse=True)
    assert marks[0] - marks[1] > marks[1] - marks[2]


def test_the_first_mark_can_be_set_and_lies_on_the_bottom_heavy_side(library: Library) -> None:
    answer = swap(library, "a-cam", ["lens-100=lens-40"], wanted="5s")
    pivot = moves(answer)["pivot"]
    steps = answer.first.set_m / pivot.adjuster.step
    assert steps == pytest.approx(round(steps), abs=1e-6)
    assert answer.first.set_m >= pivot.to_m
    assert answer.first.drop_s.value is not None
    assert answer.first.drop_s.low is not None


def test_what_comes_off_and_goes_on_is_told_with_how_it_would_hang(library: Library) -> None:
    answer = swap(library, "a-cam", ["lens-100=lens-40"], wanted="3s")
    off, on = answer.passages
    assert off.after == "take-off"
    assert off.parts == ("hood-five", "lens-100")
    assert off.lean_rad < -0.3
    assert on.parts == ("lens-40", "hood-five")
    assert [step.do for step in answer.steps][:5] == ["hold", "take-off", "take-off", "fit", "fit"]
    assert [step.do for step in answer.steps][-2:] == ["move", "trim-again"]


def test_a_heavier_lens_turns_the_rig_over_until_the_pivot_is_raised(library: Library) -> None:
    swap(library, "a-cam", ["lens-100=lens-40"], wanted="3s", save="light-cam")
    answer = swap(library, "light-cam", ["lens-40=lens-100"], wanted="3s")
    assert answer.passages[1].turns_over
    assert moves(answer)["pivot"].toward == "up"


def test_a_held_stage_leaves_a_lean_that_is_told(library: Library) -> None:
    answer = swap(
        library, "a-cam", ["lens-100=lens-40"], wanted="3s",
        hold=["stage-fore-aft"], free=[],
    )  # fmt: skip
    there = moves(answer)
    freed = [name for name, move in there.items() if move.free]
    assert "stage-fore-aft" not in freed
    assert there["stage-fore-aft"].move_m == 0.0


def test_a_drop_that_no_travel_reaches_names_the_nearest(library: Library) -> None:
    with pytest.raises(UnreachableError, match="out of reach") as refused:
        swap(library, "a-cam", ["lens-100=lens-40"], wanted="0.6s")
    assert "it drops in" in refused.value.hint
    with pytest.raises(UnreachableError, match="no mark drops in"):
        swap(library, "a-cam", ["lens-100=lens-40"], wanted="0.1s")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ("lens-100", "is no exchange"),
        ("lens-77=lens-40", "has no part"),
        ("lens-100=lens-77", "there is no component"),
        ("lens-100=body-wren", "is on a-cam already"),
        ("lens-100=", "would be left without lens-100"),
        ("=lens-40@roof", "has no mount .roof."),
        ("lens-100=block-battery", "is on a-cam already"),
        ("body-wren=body-heron@stage.x", "has no part"),
    ],
)
def test_an_exchange_that_cannot_be_is_refused_and_records_nothing(
    library: Library, change: str, message: str
) -> None:
    before = entries(library)
    with pytest.raises((CallError, NotFoundError), match=message):
        swap(library, "a-cam", [change], wanted="3s")
    assert entries(library) == before


def test_a_body_takes_the_lens_and_all_that_sits_on_it_along(library: Library) -> None:
    answer = swap(library, "a-cam", ["body-wren=body-heron"], wanted="3s")
    assert answer.passages[1].parts == ("body-heron", "lens-100", "link-two", "hood-five")


def test_a_saved_swap_stands_at_its_first_mark_and_predicts_it(library: Library) -> None:
    answer = swap(library, "a-cam", ["lens-100=lens-40"], wanted="3s", save="night-cam")
    assert answer.saved == "night-cam"
    told = predict(library, "night-cam")
    assert told.pivot_m == answer.first.set_m
    assert told.drop_s.value == pytest.approx(answer.first.drop_s.value, abs=0.1)


def test_raising_the_pivot_shortens_the_drop_and_lowering_it_turns_the_rig_over(
    library: Library,
) -> None:
    stood = predict(library, "a-cam").pivot_m
    assert stood is not None
    up, here, down = (
        predict(library, "a-cam", f"{1e3 * (stood + by)}mm") for by in (0.002, 0.0, -0.008)
    )
    assert up.drop_s.value is not None
    assert here.drop_s.value is not None
    assert up.drop_s.value < here.drop_s.value
    assert down.drop_s.value is None
    assert [warned.code for warned in down.warnings] == ["top_heavy"]


def test_a_drop_is_recorded_and_answered_with_the_way_to_the_wanted_one(library: Library) -> None:
    before = entries(library)
    answer = drop(
        library, DropQuestion(build="a-cam", times=("2.5", "2.4", "2.6"), mark="570", want="3s")
    )
    assert entries(library) == before + 1
    assert library.logbook.entry(answer.recorded).body["times"] == [2.5, 2.4, 2.6]
    assert answer.toward == "down"
    assert answer.move_m is not None
    assert -0.004 < answer.move_m < -0.001
    assert answer.at_target_s is not None
    assert answer.at_target_s.value == pytest.approx(3.0, abs=0.15)


def test_an_implausible_drop_is_recorded_with_a_warning(library: Library) -> None:
    before = entries(library)
    answer = drop(library, DropQuestion(build="a-cam", times=("9.5",), mark="575", want="3s"))
    assert entries(library) == before + 1
    assert "unlikely_drop" in {warned.code for warned in answer.warnings}


@pytest.mark.parametrize(
    "question",
    [
        DropQuestion(build="a-cam", times=("abc",)),
        DropQuestion(build="a-cam", times=("-3",)),
        DropQuestion(build="a-cam", times=("3.1",), mark="700mm"),
        DropQuestion(build="a-cam", times=("3.1",), mark="3 kg"),
        DropQuestion(build="a-cam", times=("3.1",), method="eye"),
        DropQuestion(build="a-cam", times=("3.1",), want="5 mm"),
        DropQuestion(build="a-cma", times=("3.1",)),
        DropQuestion(build="new-one", times=("3.1",), mark="x", type="post"),
        DropQuestion(build="new-one", times=("3.1",), type="wheel"),
    ],
)
def test_a_wrong_word_records_nothing(library: Library, question: DropQuestion) -> None:
    before = entries(library)
    with pytest.raises((CallError, NotFoundError)):
        drop(library, question)
    assert entries(library) == before


def test_one_drop_of_an_unknown_rig_says_which_way_and_goes_only_part_of_it(
    library: Library,
) -> None:
    question = DropQuestion(
        build="found-rig", times=("3.1", "3.0"), mark="487mm", want="5s", type="post"
    )
    answer = drop(library, question)
    assert answer.started
    assert answer.toward == "down"
    assert answer.careful
    assert answer.move is not None
    assert answer.move.low is not None
    assert answer.move.high is not None
    assert answer.move.low < answer.move_m < answer.move.high < 0  # type: ignore[operator]  # there is a move
    assert answer.set_m is not None
    assert 0.484 < answer.set_m < 0.487
    assert answer.next_rung is not None
    assert answer.next_rung.do == "two-marks"
