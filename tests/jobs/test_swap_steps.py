"""The order of work, from where the adjusters go."""

from __future__ import annotations

from itertools import permutations
from typing import TYPE_CHECKING, Literal

import pytest

from riglog.jobs.answers import Move, Value
from riglog.jobs.exchange import Exchanged
from riglog.jobs.swap_answers import FirstMark, Passage
from riglog.jobs.swap_steps import order_of_work
from riglog.records import Adjuster, Build

if TYPE_CHECKING:
    from riglog.jobs.swap_answers import Step

BUILD = Build(id="a-cam", rig="post-one")
EXCHANGED = Exchanged(BUILD, off=("hood", "lens-35"), fitted=("lens-75", "hood"))
FIRST = FirstMark("pivot", 0.490, Value(2.0, 1.8, 2.4), toward="up")
EASY = [Passage("take-off", ("hood",), 0.05, turns_over=False)]


def move(
    name: str,
    axis: Literal["x", "y", "z"],
    from_m: float | None,
    to_m: float,
    toward: str = "",
    *,
    free: bool = True,
) -> Move:
    adjuster = Adjuster(id=name, axis=axis, step=0.001)
    to_set = round(1e3 * to_m) / 1e3
    return Move(name, adjuster, from_m, to_m, to_set, to_m, to_m, toward, free)


PIVOT = move("pivot", "z", 0.480, 0.487, "up")
FORE = move("stage-fore-aft", "x", 0.0, -0.0123, "back")
SIDE = move("stage-side", "y", 0.0, 0.002, "left")


def work(*moves: Move, first: FirstMark = FIRST, passages: list[Passage] = EASY) -> list[Step]:
    return list(order_of_work(EXCHANGED, moves, first, passages))


@pytest.mark.parametrize("moves", list(permutations([PIVOT, FORE, SIDE])))
def test_parts_then_side_then_fore_and_aft_then_the_first_mark(moves: tuple[Move, ...]) -> None:
    assert [(step.do, step.what) for step in work(*moves)] == [
        ("take-off", "hood"),
        ("take-off", "lens-35"),
        ("fit", "lens-75"),
        ("fit", "hood"),
        ("set", "stage-side"),
        ("set", "stage-fore-aft"),
        ("first-mark", "pivot"),
        ("trim", ""),
        ("drop", ""),
        ("move", "pivot"),
        ("trim-again", ""),
    ]


def test_a_step_tells_what_can_be_set_and_by_how_much() -> None:
    (step,) = [each for each in work(PIVOT, FORE) if each.do == "set"]
    assert step.to_m == -0.012
    assert step.move_m == -0.012
    assert step.toward == "back"


def test_what_moves_less_than_half_a_step_is_left_alone() -> None:
    assert "set" not in {step.do for step in work(PIVOT, FORE._replace(to_m=0.0004, set_m=0.0))}


def test_what_nobody_set_before_is_set_without_saying_by_how_much() -> None:
    (step,) = [each for each in work(PIVOT, FORE._replace(from_m=None)) if each.do == "set"]
    assert (step.to_m, step.move_m) == (-0.012, None)


def test_a_kept_pivot_is_not_moved() -> None:
    kept = work(PIVOT._replace(free=False), FORE)
    assert [step.do for step in kept][-4:] == ["set", "trim", "drop", "trim-again"]
    assert not {"first-mark", "move"} & {step.do for step in kept}


@pytest.mark.parametrize(
    ("stood", "last", "first", "way"),
    [
        (0.480, 0.487, 0.490, "up"),
        (0.495, 0.487, 0.490, "down"),
        # Down to the last mark, but up to the first.
        (0.488, 0.487, 0.490, "up"),
        (0.490, 0.487, 0.490, ""),
        (None, 0.487, 0.490, ""),
    ],
)
def test_the_way_to_the_first_mark_is_its_own(
    stood: float | None, last: float, first: float, way: str
) -> None:
    toward = "" if stood is None else "up" if last > stood else "down"
    pivot = move("pivot", "z", stood, last, toward)
    (step,) = [
        each for each in work(pivot, first=FIRST._replace(set_m=first)) if each.do == "first-mark"
    ]
    assert step.toward == way
    assert step.move_m == (None if stood is None else pytest.approx(first - stood))


@pytest.mark.parametrize(
    ("passages", "held"),
    [
        ([Passage("fit", ("lens-75",), 0.1, turns_over=False)], False),
        ([Passage("fit", ("lens-75",), 0.2, turns_over=False)], True),
        ([Passage("fit", ("lens-75",), -0.2, turns_over=False)], True),
        ([Passage("fit", ("lens-75",), 0.0, turns_over=True)], True),
        ([], True),  # nobody knows
    ],
)
def test_somebody_holds_the_rig_where_it_would_lean_far_or_turn_over(
    passages: list[Passage], *, held: bool
) -> None:
    assert (work(PIVOT, passages=passages)[0].do == "hold") == held
