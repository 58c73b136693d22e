"""Where adjusters go: steps of scales, ways of the hand, and heights as drop times."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.scenes import A_CAM, hung, kit, random_hung, random_kit
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipk  # type: ignore[import-untyped]  # scipy ships no types

from riglog.errors import CallError, UnreachableError
from riglog.estimation.inference import Inference
from riglog.estimation.interval import Estimate
from riglog.estimation.tree import reading_m
from riglog.jobs.drop_times import drop_value, refuse_too_short, time_of
from riglog.jobs.free import free_adjusters
from riglog.jobs.margin import margin_kg
from riglog.jobs.placing import first_mark, place, settable, toward
from riglog.records import Adjuster, Part
from riglog.units import METER, exact, parse

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging

STEPS = st.sampled_from([0.0005, 0.001, 0.0015875, 0.01])


def hanging(**settings: float) -> Hanging:
    return Inference(kit(), [hung(**settings)]).stands[0]


@given(STEPS, st.floats(-0.6, 0.6))
def test_what_can_be_set_is_the_nearest_step(step: float, reading: float) -> None:
    scale = Adjuster(id="pivot", axis="z", step=step)
    nearest = settable(scale, reading)
    assert nearest / step == pytest.approx(round(nearest / step), abs=1e-5)
    assert abs(nearest - reading) <= step / 2 + 1e-9
    assert reading - 1e-9 <= settable(scale, reading, 1) <= reading + step + 1e-9
    assert reading - step - 1e-9 <= settable(scale, reading, -1) <= reading + 1e-9


@given(st.sampled_from([8, 16, 32, 64, 128]), st.integers(-4000, 4000))
def test_a_reading_in_fractions_of_an_inch_is_written_as_just_that(parts: int, count: int) -> None:
    scale = Adjuster(id="pivot", axis="z", step=parse(f"1/{parts} in", METER), unit="in")
    reading = settable(scale, count * scale.step)
    assert exact(reading, METER, "in") == f"{count / parts:.7f}".rstrip("0").rstrip(".") + " in"


@given(STEPS, st.integers(-500, 500))
def test_a_reading_on_a_step_stays_there_whichever_way(step: float, count: int) -> None:
    scale = Adjuster(id="pivot", axis="z", step=step)
    for way in (-1, 0, 1):
        assert settable(scale, count * step, way) == pytest.approx(count * step, abs=1e-9)


@pytest.mark.parametrize(
    ("mode", "adjuster", "ways"),
    [
        ("high", "pivot", ("up", "down")),
        ("high", "stage-fore-aft", ("forward", "back")),
        ("high", "stage-side", ("left", "right")),
        ("low", "pivot", ("down", "up")),
        ("low", "stage-fore-aft", ("forward", "back")),
        ("low", "stage-side", ("right", "left")),
    ],
)
def test_the_hand_goes_the_way_that_the_world_has_it(
    mode: str, adjuster: str, ways: tuple[str, str]
) -> None:
    build = replace(A_CAM, mode=mode)  # type: ignore[arg-type]
    tree = Inference(kit(), [hung(build)]).stands[0].tree
    index = tree.adjusters.index(adjuster)
    assert (toward(tree, index, 0.001), toward(tree, index, -0.001)) == ways
    assert toward(tree, index, 0.0) == ""
    assert toward(tree, index, float("nan")) == ""


def test_heights_become_drop_times_and_none_at_neutral_and_below() -> None:
    expected = float(ellipk(0.5)) * ((0.34**2 + 0.0045**2) / (9.80665 * 0.0045)) ** 0.5
    assert time_of(0.0045, 0.34**2) == pytest.approx(expected)
    assert time_of(0.0, 0.34**2) is None
    assert time_of(-0.001, 0.34**2) is None


@given(st.floats(-0.01, 1.2, allow_subnormal=False), st.floats(1e-5, 0.3), st.floats(0.1, 0.5))
def test_a_drop_time_lies_in_its_interval_and_is_never_shorter_than_the_shortest(
    mean: float, sd: float, k: float
) -> None:
    known = drop_value(Estimate(np.ones(1), np.array([mean]), np.array([sd])), k * k)
    low, high = mean - 1.959964 * sd, mean + 1.959964 * sd
    assert (known.value is None) == (mean <= 0)
    assert (known.low is None) == (high <= 0)
    assert (known.high is None) == (low <= 0)
    if known.low is not None:
        shortest = float(ellipk(0.5)) * (2 * k / 9.80665) ** 0.5
        assert known.low >= shortest * (1 - 1e-9)
        assert known.value is None or known.low <= known.value * (1 + 1e-6)
    if known.value is not None and known.high is not None:
        assert known.value <= known.high * (1 + 1e-6)


def test_no_drop_is_shorter_than_the_shortest() -> None:
    # Hung k above its center: K(1/2) sqrt(2 k / g).
    shortest = float(ellipk(0.5)) * (2 * 0.34 / 9.80665) ** 0.5
    refuse_too_short(1.001 * shortest, 0.34**2)
    with pytest.raises(UnreachableError, match=rf"shortest drop of this build is {shortest:.2f} s"):
        refuse_too_short(0.999 * shortest, 0.34**2)


def test_free_are_the_pivot_and_the_first_slide_along_each_axis() -> None:
    tree = hanging().tree
    usual = free_adjusters(tree, [], [])
    named = [[tree.adjusters[index] for index in group] for group in usual]
    assert named == [["stage-fore-aft"], ["stage-side"], ["pivot"]]


def test_a_held_adjuster_makes_way_for_the_next_one() -> None:
    rng = np.random.default_rng(8)
    stood = random_hung(rng, "high")
    tree = Inference(random_kit(rng), [stood]).stands[0].tree
    held = free_adjusters(tree, [], ["stage-fore-aft", "pivot"])
    named = [[tree.adjusters[index] for index in group] for group in held]
    assert named[2] == []
    assert "stage-fore-aft" not in named[0]
    more = free_adjusters(tree, ["base-fore-aft"], [])
    assert tree.adjusters[more[0][0]] == "stage-fore-aft"
    assert tree.adjusters.index("base-fore-aft") in more[0]


def test_a_slide_that_moves_nothing_cannot_be_let_free() -> None:
    alone = replace(
        A_CAM,
        parts=tuple(p for p in A_CAM.parts if "stage" not in p.on and p.on != "body-north.lens"),
    )
    tree = Inference(kit(), [hung(alone)]).stands[0].tree
    assert free_adjusters(tree, [], []) == [[], [], [tree.pivot]]
    with pytest.raises(CallError, match="stage-fore-aft moves nothing"):
        free_adjusters(tree, ["stage-fore-aft"], [])


def test_the_first_mark_is_top_heavy_less_than_once_in_two_hundred() -> None:
    # Sampled from the priors alone: the true neutral of each draw against the mark.
    stands = hanging()
    placed = place(stands, free_adjusters(stands.tree, [], []), 3.0)
    first, clamped = first_mark(stands, placed)
    assert not clamped
    inference = stands.inference
    rng = np.random.default_rng(3)
    settled = placed.settled
    rows = stands.setting_rows(settled, None)
    index = int(np.flatnonzero(settled.moved == stands.tree.pivot)[0])
    draws = rng.standard_normal((20_000, len(inference.parameters)))
    draws *= np.sqrt(inference.parameters.variance)
    neutral = stands.neutral(settled, stands.tree.pivot).value + draws @ rows.jacobian[index]
    set_to = first.set_m + 0.0005 * rng.standard_normal(20_000)
    assert float(np.mean(set_to < neutral)) < 1 / 150
    # And not far beyond what that asks for.
    assert float(np.mean(set_to - 0.004 < neutral)) > 1 / 400


def test_a_part_at_the_camera_as_heavy_as_the_margin_makes_it_neutral() -> None:
    stands = hanging()
    placed = place(stands, free_adjusters(stands.tree, [], []), 3.0)
    depth = stands.depth_m(placed.settled.positions_m, placed.settled.hangs)
    margin = margin_kg(stands, depth, placed.settled.positions_m)
    assert margin is not None
    hangs = placed.settled.hangs
    camera = stands.tree.parts.index("body-north")
    height = float(hangs.part_cg_m[0, camera, 2])
    mass = float(hangs.mass_kg)
    center = (mass * float(hangs.cg_m[0, 2]) + margin * height) / (mass + margin)
    pivot = float(placed.settled.positions_m[stands.tree.pivot])
    hidden = pivot - float(hangs.cg_m[0, 2]) - depth
    assert pivot - center == pytest.approx(hidden, abs=3e-6)


def test_there_is_no_margin_where_it_is_top_heavy_or_half_of_it_is_not_listed() -> None:
    stands = hanging()
    assert margin_kg(stands, -0.001, stands.positions_m) is None
    bare = replace(A_CAM, parts=(Part(component="body-north", on="stage"),))
    unlisted = Inference(kit(), [hung(bare)]).stands[0]
    assert margin_kg(unlisted, 0.004, unlisted.positions_m) is None


def test_every_adjuster_is_told_with_where_it_stands_and_goes() -> None:
    stands = hanging()
    placed = place(stands, free_adjusters(stands.tree, [], ["stage-side"]), 3.0)
    by_name = {move.name: move for move in placed.moves}
    assert list(by_name) == ["pivot", "stage-fore-aft", "stage-side"]
    assert by_name["stage-side"].move_m == 0
    assert not by_name["stage-side"].free
    assert by_name["pivot"].from_m == reading_m(stands.hung.settings["pivot"])
    low, high = by_name["pivot"].low_m, by_name["pivot"].high_m
    assert low is not None
    assert high is not None
    assert low < by_name["pivot"].to_m < high
