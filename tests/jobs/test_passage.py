"""How a rig would hang between the steps of a swap, if nobody held it."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, radians
from typing import TYPE_CHECKING

import pytest
from estimation.dense import Dense
from estimation.scenes import A_CAM, LENS_75, PARTS, hung, kit, swapped

from riglog.estimation.inference import Inference
from riglog.jobs.exchange import Exchanged
from riglog.jobs.passage import between, needs_a_hand, passage
from riglog.jobs.swap_answers import Passage

if TYPE_CHECKING:
    from riglog.records import Build

BEFORE = hung(pivot=0.510, stage_fore_aft=-0.0095)
HEAVY = replace(LENS_75, mass=4.0)
THERE = swapped()
BARE = replace(A_CAM, parts=tuple(part for part in PARTS if part.component != "lens-35"))


def told(build: Build, pivot: float = 0.510) -> Passage:
    stood = hung(build, version="on the way", pivot=pivot, stage_fore_aft=-0.0095)
    stand = Inference(kit(components={"lens-75": HEAVY}), [stood]).stands[0]
    return passage("fit", ("lens-75",), stand)


def lean_rad(build: Build, pivot: float) -> float:
    """By the documents alone."""
    stood = hung(build, pivot=pivot, stage_fore_aft=-0.0095)
    dense = Dense(kit(components={"lens-75": HEAVY}))
    hangs = dense.hangs(stood, dense.stated(stood))
    return atan2(float(hangs.cg[0]), abs(pivot - float(hangs.cg[2])))


def test_first_everything_is_off_then_everything_is_on_and_no_adjuster_has_moved() -> None:
    exchanged = Exchanged(THERE, off=("lens-35",), fitted=("lens-75",))
    off, on = between(BEFORE, exchanged)
    assert (off[0], off[1], off[2].build) == ("take-off", ("lens-35",), BARE)
    assert (on[0], on[1], on[2].build) == ("fit", ("lens-75",), THERE)
    assert off[2].settings == on[2].settings == BEFORE.settings
    assert len({BEFORE.version, off[2].version, on[2].version}) == 3


def test_what_only_comes_off_or_only_goes_on_has_one_state() -> None:
    assert [each[0] for each in between(BEFORE, Exchanged(BARE, ("lens-35",), ()))] == ["take-off"]
    assert [each[0] for each in between(BEFORE, Exchanged(THERE, (), ("lens-75",)))] == ["fit"]
    assert between(BEFORE, Exchanged(A_CAM, (), ())) == []


@pytest.mark.parametrize("pivot", [0.490, 0.510])
@pytest.mark.parametrize("build", [A_CAM, BARE, THERE])
def test_it_leans_as_its_center_of_gravity_lies(build: Build, pivot: float) -> None:
    found = told(build, pivot)
    assert found.lean_rad == pytest.approx(lean_rad(build, pivot), abs=1e-6)


def test_without_the_lens_the_nose_goes_up_and_with_a_heavier_one_it_turns_over() -> None:
    assert told(BARE).lean_rad < -0.2 < told(A_CAM).lean_rad < 0.05
    assert not told(BARE).turns_over
    assert not told(A_CAM).turns_over
    assert told(THERE).turns_over


@pytest.mark.parametrize(
    ("degrees", "turns_over", "held"),
    [(9.9, False, False), (10.1, False, True), (-10.1, False, True), (0.0, True, True)],
)
def test_ten_degrees_are_as_far_as_it_may_lean_by_itself(
    degrees: float, turns_over: bool, held: bool
) -> None:
    state = Passage("fit", ("lens-75",), radians(degrees), turns_over=turns_over)
    assert needs_a_hand(state) is held
