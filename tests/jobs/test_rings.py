"""Ring rigs through documents: two side pivots, one tilt axis, and the cant between them.

What handheld operators tell each other is common practice, no source: an inch of downward move
takes a fast, bottom-heavy ring to about neutral, and a balanced ring stays where it is left.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan, degrees, pi
from typing import TYPE_CHECKING

import numpy as np
import pytest
from jobs.flown import entries, flown, hangs_at, question
from jobs.rings import RING
from scipy.special import ellipk  # type: ignore[import-untyped]  # scipy ships no types

from riglog.errors import CallError
from riglog.jobs.circumstances import Circumstances
from riglog.jobs.drop import drop
from riglog.jobs.lean import LeanQuestion, lean
from riglog.jobs.lens_table import lens_table
from riglog.jobs.predict import predict
from riglog.jobs.swap import swap
from riglog.jobs.trim import trim_build
from riglog.mechanics.pendulum import reaches
from riglog.records import PivotPair
from riglog.wording import say

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.lean_answers import LeanAnswer
    from riglog.jobs.predict_answers import PredictAnswer
    from riglog.library import Library

INCH_M = 0.0254
GRAVITY = 9.80665
# A small bearing's friction: half-normal of 0.01 N m on average.
FRICTION_N_M = 0.01 * (2 / pi) ** 0.5
SHIFT = 1.1069833853


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path, RING) as opened:
        yield opened


def codes(answer: PredictAnswer) -> list[str]:
    return [each.code for each in answer.warnings]


def value(known: float | None) -> float:
    assert known is not None
    return known


def test_a_ring_tilts_about_the_mean_of_its_pivots(library: Library) -> None:
    noun = library.standing("hand-ring").build
    hangs = hangs_at(library, noun, {"pivot": 0.1185, "plate-fore-aft": 0.006})
    below = 0.1185 - float(hangs.cg[2]) - SHIFT * FRICTION_N_M / (GRAVITY * float(hangs.mass))
    expected = float(ellipk(0.5)) * ((float(hangs.k2) + below**2) / (GRAVITY * below)) ** 0.5
    stands = predict(library, "hand-ring")
    assert value(stands.drop_s.value) == pytest.approx(expected, rel=1e-6)
    assert stands.pivot_m == pytest.approx(0.1185)
    assert stands.sides == PivotPair(left=0.117, right=0.120)
    same = predict(library, "hand-ring", "118.5mm")
    assert value(same.drop_s.value) == pytest.approx(expected, rel=1e-6)
    assert same.sides is None


def test_the_side_with_the_higher_reading_hangs_low(library: Library) -> None:
    right_low = predict(library, "hand-ring")
    assert value(right_low.side_rad.value) == pytest.approx(atan(3 / 420))
    left_low = predict(library, "hand-ring", "121mm,118mm")
    assert value(left_low.side_rad.value) == pytest.approx(-atan(3 / 420))
    # Each side is good to a step, so that their difference is to 1.4.
    low, high = value(left_low.side_rad.low), value(left_low.side_rad.high)
    assert degrees(high - low) == pytest.approx(2 * degrees(1.96 * 2**0.5 / 420), rel=1e-3)


def test_a_scale_that_reads_down_cants_the_other_way(library: Library, tmp_path: Path) -> None:
    rig = library.rig("ring-one")
    pivot, *others = rig.adjusters
    turned = replace(pivot, scale=replace(pivot.scale, zero=0.36, reads="down"))
    library.record(replace(rig, adjusters=(turned, *others)))
    assert value(predict(library, "hand-ring").side_rad.value) == pytest.approx(-atan(3 / 420))
    assert tmp_path.exists()


@pytest.mark.parametrize(("mark", "told"), [("118/119", False), ("118/120", True)])
def test_a_cant_is_told_past_one_step(library: Library, mark: str, told: bool) -> None:
    assert ("cant" in codes(predict(library, "hand-ring", mark))) is told
    answer = drop(library, question("hand-ring", "0.8", mark=mark, want=None))
    assert ("cant" in [each.code for each in answer.warnings]) is told


def test_a_swap_moves_both_sides_to_one_reading(library: Library) -> None:
    answer = swap(library, "hand-ring", ["ring-lens=long-lens"], save="long-ring")
    pivot = next(move for move in answer.moves if move.name == "pivot")
    assert pivot.sides == PivotPair(left=0.117, right=0.120)
    assert pivot.from_m == pytest.approx(0.1185)
    assert library.standing("long-ring").settings["pivot"] == answer.first.set_m
    assert "ring-sides" in answer.cautions
    assert "clamp-under-load" not in answer.cautions
    assert "cant" not in [each.code for each in answer.warnings]


def test_a_held_ring_keeps_its_sides_and_its_cant(library: Library) -> None:
    answer = swap(library, "hand-ring", ["ring-lens=long-lens"], hold=["pivot"], save="long-ring")
    assert "cant" in [each.code for each in answer.warnings]
    kept = library.standing("long-ring").settings["pivot"]
    assert kept == PivotPair(left=0.117, right=0.120)


def test_a_drop_at_two_readings_is_one_at_their_mean(library: Library, tmp_path: Path) -> None:
    both = drop(library, question("hand-ring", "0.8", mark="117mm,120mm", want="1.2"))
    assert both.mark_m == pytest.approx(0.1185)
    assert both.sides == PivotPair(left=0.117, right=0.120)
    (tmp_path / "other").mkdir()
    with flown(tmp_path / "other", RING) as other:
        one = drop(other, question("hand-ring", "0.8", mark="118.5mm", want="1.2"))
    # Both sides were read, so that their mean is known a little better.
    assert one.move_m == pytest.approx(value(both.move_m), abs=2e-4)
    assert both.toward == "down"


def test_a_post_rig_and_a_slide_have_one_reading_and_nothing_is_recorded(library: Library) -> None:
    before = entries(library)
    with pytest.raises(CallError, match="a post rig has one pivot"):
        drop(library, question(mark="517mm,518mm"))
    with pytest.raises(CallError, match="is no unit"):
        swap(library, "hand-ring", ["ring-lens="], set_=["plate=1mm,2mm"], save="x")
    assert entries(library) == before


def test_the_margin_of_a_ring_is_what_goes_on_top_of_its_camera(library: Library) -> None:
    # The camera stands on the plate at 60 mm and is 150 mm tall; its middle is near the axis.
    answer = predict(library, "hand-ring", "119mm")
    above = 0.210 - 0.119
    expected = answer.mass_kg * value(answer.depth_m.value) / above
    assert value(answer.margin_kg) == pytest.approx(expected, rel=1e-6)
    # So much more, put there, does bring it to neutral.
    noun = library.standing("hand-ring").build
    hangs = hangs_at(library, noun, {"pivot": 0.119, "plate-fore-aft": 0.006})
    mass, more = float(hangs.mass), value(answer.margin_kg)
    shifted = (mass * float(hangs.cg[2]) + more * 0.210) / (mass + more)
    assert shifted == pytest.approx(0.119, abs=0.0003)


def test_a_ring_whose_camera_does_not_reach_above_its_pivots_has_no_margin_there(
    library: Library,
) -> None:
    assert predict(library, "hand-ring", "200mm").margin_kg is None
    assert predict(library, "hand-ring", "150mm").margin_kg is not None


def test_how_far_it_hangs_to_a_side_tells_nothing_of_a_ring(library: Library) -> None:
    # Two pivots hold it level, be its center of gravity left or right.
    before = predict(library, "hand-ring", "119mm")
    drop(library, question("hand-ring", "0.80", "0.80", "0.80", mark="119mm"))
    after = predict(library, "hand-ring", "119mm")
    assert after.cg_m[1] == pytest.approx(before.cg_m[1], abs=1e-12)


def test_an_inch_down_takes_a_fast_ring_to_about_neutral(library: Library) -> None:
    noun = library.standing("hand-ring").build
    hangs = hangs_at(library, noun, {"pivot": 0.12, "plate-fore-aft": 0.006})
    fast = float(hangs.cg[2]) + INCH_M
    before = predict(library, "hand-ring", f"{1e3 * fast}mm")
    assert value(before.drop_s.value) < 0.8
    lowered = predict(library, "hand-ring", f"{1e3 * (fast - INCH_M)}mm")
    assert value(lowered.depth_m.value) == pytest.approx(0, abs=0.001)
    further = predict(library, "hand-ring", f"{1e3 * (fast - 1.5 * INCH_M)}mm")
    assert further.drop_s.value is None


def test_a_balanced_ring_stays_where_it_is_left_and_a_bottom_heavy_one_does_not(
    library: Library,
) -> None:
    stands = predict(library, "hand-ring")
    friction_m = FRICTION_N_M / (GRAVITY * stands.mass_kg)
    left_at = np.radians(np.arange(5, 91, 5))
    # Within a tenth of a millimeter above its center of gravity friction holds it at any angle.
    balanced = reaches(0.00009, release_rad=left_at, stop_rad=left_at - 0.01, friction_m=friction_m)
    assert not balanced.any()
    heavy = reaches(INCH_M, release_rad=left_at, stop_rad=left_at - 0.01, friction_m=friction_m)
    assert heavy.all()


def leveled(library: Library, side: str, mark: str | None = None) -> LeanAnswer:
    return lean(library, LeanQuestion(Circumstances("hand-ring", mark), side=side))


@pytest.mark.parametrize("side", ["2deg", "-1.5deg"])
def test_a_ring_that_hangs_to_a_side_is_leveled_by_its_two_pivots(
    library: Library, side: str
) -> None:
    answer = leveled(library, side, "117mm")
    (way,) = answer.ways
    assert way.sides is not None
    goes = PivotPair(left=value(way.sides.left_to_m), right=value(way.sides.right_to_m))
    # The frame leans by what the readings then differ by, over the 420 mm between the pivots.
    assert degrees(atan((goes.left - goes.right) / 0.42)) == pytest.approx(float(side[:-3]))
    assert (goes.left + goes.right) / 2 == pytest.approx(0.117)
    assert (way.rig_m.value, way.slide, answer.cautions) == (None, None, ("ring-sides",))


def test_what_levels_a_ring_takes_out_just_what_its_readings_told(library: Library) -> None:
    told = predict(library, "hand-ring", "112mm,124mm")
    side = f"{degrees(value(told.side_rad.value)):.6f}deg"
    (way,) = leveled(library, side, "112mm,124mm").ways
    assert way.sides is not None
    assert (way.sides.left_to_m, way.sides.right_to_m) == pytest.approx((0.118, 0.118))
    assert way.sides.unlike_rad is None


def test_a_cant_that_the_readings_do_not_tell_is_of_the_guides(library: Library) -> None:
    (way,) = leveled(library, "3deg", "117mm,117mm").ways
    assert way.sides is not None
    assert degrees(value(way.sides.unlike_rad)) == pytest.approx(3)
    told = say(leveled(library, "3deg", "117mm,117mm"))
    assert "the two guides are not alike, or the frame is twisted" in " ".join(told.split())
    assert told.startswith(
        "It leans 3.0 deg, right side low: left pivot up 11, right pivot down 11."
    )
    assert "to 128/106 mm, keeps the drop time; one side alone would go 22 mm" in " ".join(
        told.split()
    )
    assert "move weight" not in told


def test_turned_over_the_side_that_is_low_is_raised_at_the_other_as_it_hangs(
    library: Library,
) -> None:
    """In low mode what the rig has on its left hangs on the right, and up is down its scale."""
    build = library.standing("hand-ring").build
    library.record(replace(build, mode="low"))
    answer = leveled(library, "3deg", "117mm,117mm")
    told = " ".join(say(answer).split())
    assert told.startswith(
        "It leans 3.0 deg, right side low: left pivot up 11, right pivot down 11."
    )
    assert "to 128/106 mm (the left of high mode first), keeps the drop time" in told
    (way,) = answer.ways
    assert way.sides is not None
    # The left reading the higher has the left side low, which takes that lean out.
    assert value(way.sides.left_m) > 0


def test_a_scale_that_reads_down_is_leveled_the_other_way(library: Library) -> None:
    rig = library.rig("ring-one")
    pivot, *others = rig.adjusters
    turned = replace(pivot, scale=replace(pivot.scale, zero=0.36, reads="down"))
    library.record(replace(rig, adjusters=(turned, *others)))
    answer = leveled(library, "2deg", "117mm")
    assert answer.ways[0].sides is not None
    assert value(answer.ways[0].sides.left_m) < 0
    assert say(answer).startswith("It leans 2.0 deg, right side low: left pivot up 7, ")


def test_without_a_width_it_is_told_which_way_and_not_how_far(library: Library) -> None:
    library.record(replace(library.rig("ring-one"), pivot_width=None))
    told = " ".join(say(leveled(library, "2deg", "117mm")).split())
    assert told.startswith(
        "It leans 2.0 deg, right side low: left pivot up, right pivot down, until it hangs level."
    )
    assert "the rig's pivot_width would tell" in told


def test_a_ring_hangs_level_to_the_sides_wherever_its_weight_lies(
    tmp_path: Path,
) -> None:
    aside = RING.replace("component: brick, on: back}", "component: brick, on: back, offset: OFF}")
    aside = aside.replace("OFF", "[0 mm, 30 mm, 0 mm]")
    with flown(tmp_path, aside) as heavy:
        cg = predict(heavy, "hand-ring").cg_m
        assert abs(value(cg[1])) > 0.003
        answer = trim_build(heavy, "hand-ring", set_=["pivot=117/120"])
        assert abs(answer.off_m[0]) < 1e-4
        assert answer.off_m[1] == 0.0
    assert "trim_out_of_reach" not in [each.code for each in answer.warnings]
    assert "cant" in [each.code for each in answer.warnings]
    assert value(answer.now.side_rad) == pytest.approx(atan(3 / 420))
    assert answer.now.critical_rad_s is None
    told = say(answer)
    assert "fine knobs" not in told
    assert "Trim it again fore and aft, until it hangs upright." in told
    assert "ritical" not in told


def test_a_table_of_a_rings_lenses_says_to_move_one_side_at_a_time(library: Library) -> None:
    table = lens_table(library, "hand-ring", "ring-lens", ["long-lens"], wanted=["1.5s"])
    assert "ring-sides" in table.cautions
