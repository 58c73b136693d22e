from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from riglog.jobs.answers import Move, Vernier
from riglog.records import PivotPair, Scale
from riglog.wording import moves
from riglog.wording.terms import Terms

if TYPE_CHECKING:
    from riglog.records import Adjuster


@pytest.fixture
def up(pivot: Adjuster) -> Move:
    return Move("pivot", pivot, 0.487, 0.48893, 0.489, 0.4871, 0.4909, "up", free=True)


def terms(pivot: Adjuster, rig: str = "post", mode: str = "high") -> Terms:
    return Terms(rig, mode, {"pivot": pivot, "stage-side": replace(pivot, id="s", axis="y")})


@pytest.mark.parametrize(
    ("to_m", "set_m", "end_m", "words"),
    [
        (0.48724, 0.487, 0.487, "stays"),
        (0.48726, 0.4875, 0.4875, "up 0.5"),
        (0.48674, 0.4865, 0.4865, "up 0.5"),
        (0.4870, 0.487, 0.487, "stays"),
    ],
)
def test_less_than_half_a_step_is_not_worth_a_hand(
    up: Move, to_m: float, set_m: float, end_m: float, words: str
) -> None:
    move = up._replace(to_m=to_m, set_m=set_m)
    assert moves.goes_to(move) == end_m
    assert moves.in_table(move) == words
    assert moves.stands_still(move) == (words == "stays")


def test_a_mark_between_two_steps_is_left_where_it_is_if_the_step_is_no_nearer(
    up: Move,
) -> None:
    move = up._replace(from_m=0.4874, to_m=0.48766, set_m=0.4875)
    assert moves.goes_to(move) == 0.4874


@pytest.mark.parametrize(
    ("rig", "mode", "toward", "words"),
    [
        ("post", "high", "up", "raise the gimbal on the post, towards the camera"),
        ("post", "high", "down", "lower the gimbal on the post, away from the camera"),
        ("post", "low", "up", "raise the gimbal on the post, away from the camera"),
        ("post", "low", "down", "lower the gimbal on the post, towards the camera"),
        ("ring", "high", "up", "raise the side pivots, both to the same reading"),
        ("ring", "low", "down", "lower the side pivots, both to the same reading"),
        ("", "high", "up", "raise the pivot"),
        ("post", "high", "none", "set the gimbal"),
    ],
)
def test_up_leads_to_the_camera_unless_it_hangs_below(
    pivot: Adjuster, rig: str, mode: str, toward: str, words: str
) -> None:
    assert moves.by_hand("pivot", toward, terms(pivot, rig, mode)) == words


def test_a_slide_moves_along_its_own_axis(pivot: Adjuster) -> None:
    assert moves.by_hand("stage-side", "left", terms(pivot)) == "move the stage to the left"
    assert moves.by_hand("stage-side", "up", terms(pivot)) == "raise the stage"


def test_side_pivots_stay_where_a_gimbal_stays(up: Move, pivot: Adjuster) -> None:
    still = up._replace(to_m=0.487, set_m=0.487)
    assert moves.called_out(still, terms(pivot)) == "gimbal stays"
    assert moves.called_out(still, terms(pivot, "ring")) == "side pivots stay"


def test_a_move_without_a_direction_is_told_as_an_amount(up: Move, pivot: Adjuster) -> None:
    assert moves.called_out(up._replace(toward="none"), terms(pivot)) == "gimbal by 2.0"


@pytest.mark.parametrize(
    ("change_s", "words"),
    [(0.2, "0.2 s longer"), (-0.2, "0.2 s shorter"), (0.04, "less than 0.1 s")],
)
def test_a_vernier_says_what_it_is_worth(pivot: Adjuster, change_s: float, words: str) -> None:
    vernier = Vernier("monitor-one", 1.2, -0.004, 0.0003, "up", change_s)
    assert moves.finer(vernier, terms(pivot)) == (
        "Finer than one step: raise monitor-one (1.2 kg) by 4.0 mm, as much as 0.3 mm of gimbal"
        f" ({words})."
    )


@pytest.mark.parametrize(
    ("to_m", "mode", "reads", "words"),
    [
        (0.4885, "high", "up", " (left up 2.0, right up 1.0)"),
        (0.4885, "low", "up", " (as it hangs left down 1.0, right down 2.0)"),
        (0.4885, "high", "down", " (left down 2.0, right down 1.0)"),
        (0.4885, "low", "down", " (as it hangs left up 1.0, right up 2.0)"),
        (0.4875, "high", "up", " (left up 1.0, right stays)"),
        (0.487, "high", "up", " (left up 0.5, right down 0.5)"),
    ],
)
def test_each_side_of_a_ring_goes_its_own_way_to_one_reading(
    pivot: Adjuster, sides: PivotPair, to_m: float, mode: str, reads: str, words: str
) -> None:
    scale = replace(pivot, scale=Scale(reads=reads))  # type: ignore[arg-type]
    assert moves.each_side(sides, to_m, terms(scale, "ring", mode)) == words


def test_sides_at_one_reading_need_no_word_of_their_own(pivot: Adjuster) -> None:
    same = PivotPair(left=0.487, right=0.487)
    assert moves.each_side(same, 0.4885, terms(pivot, "ring")) == ""
    assert moves.each_side(None, 0.4885, terms(pivot, "ring")) == ""
