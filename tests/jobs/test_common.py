"""What answers about one build have in common."""

from __future__ import annotations

from dataclasses import replace
from math import atan2
from typing import TYPE_CHECKING

import pytest
from estimation.scenes import A_CAM, POST_ONE, hung, kit

from riglog.errors import CallError, QuantityError
from riglog.estimation.inference import Inference
from riglog.jobs.answers import Move, Warned
from riglog.jobs.common import drop_cautions, left_lean, near_ends, wanted_drop
from riglog.jobs.free import free_adjusters
from riglog.jobs.placing import place
from riglog.mechanics.pendulum import drop_time
from riglog.records import Adjuster, LoadRange

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging


def hanging(pivot: float = 0.505) -> Hanging:
    return Inference(kit(), [hung(pivot=pivot)]).stands[0]


def test_the_wanted_drop_is_as_asked_else_the_builds_else_the_one_it_has() -> None:
    there = hanging(pivot=0.505)
    wanting = replace(A_CAM, wanted_drop=4.0)
    assert wanted_drop("2.5", wanting, there) == 2.5
    assert wanted_drop("2500 ms", wanting, there) == 2.5
    assert wanted_drop(None, wanting, there) == 4.0
    depth, k2 = there.depth().value, float(there.hangs.gyration_m2[0])
    assert wanted_drop(None, A_CAM, there) == pytest.approx(float(drop_time(depth, k2)))


def test_where_it_is_top_heavy_or_was_never_set_somebody_has_to_say() -> None:
    never = hung()._replace(settings={"stage-fore-aft": 0.0, "stage-side": 0.0})
    for stand in (hanging(pivot=0.440), Inference(kit(), [never]).stands[0]):
        with pytest.raises(CallError, match="nobody said which drop time") as refused:
            wanted_drop(None, A_CAM, stand)
        assert refused.value.hint == "add --drop 3s"


@pytest.mark.parametrize("text", ["0", "-3s", "60.1 s", "nan", "3 mm", "soon", ""])
def test_what_is_no_drop_time_is_refused(text: str) -> None:
    with pytest.raises((CallError, QuantityError)) as refused:
        wanted_drop(text, A_CAM, hanging())
    assert refused.value.status == 2


def test_what_no_slide_is_free_to_take_out_is_left_as_a_lean() -> None:
    stand = hanging()
    held = place(stand, free_adjusters(stand.tree, [], ["stage-fore-aft"]), 3.0)
    (warned,) = left_lean(stand, held)
    pivot = float(held.settled.positions_m[stand.tree.pivot])
    center = held.settled.hangs.cg_m[0]
    assert warned.code == "not_trimmed"
    assert warned.figure == pytest.approx(atan2(float(center[0]), pivot - float(center[2])))
    free = place(stand, free_adjusters(stand.tree, [], []), 3.0)
    assert list(left_lean(stand, free)) == []


def moved(to_m: float, *, free: bool = True, step: float = 0.001) -> Move:
    scale = Adjuster(id="stage-side", axis="y", travel=(-0.015, 0.015), step=step)
    return Move("stage-side", scale, 0.0, to_m, to_m, to_m, to_m, "left", free)


def test_less_than_five_steps_from_its_end_an_adjuster_leaves_no_room_to_trim() -> None:
    (warned,) = near_ends([moved(0.0111)])
    assert (warned.code, warned.what) == ("near_travel_end", "stage-side")
    assert warned.figure == pytest.approx(0.0039)
    assert [each.code for each in near_ends([moved(-0.0111)])] == ["near_travel_end"]
    assert list(near_ends([moved(0.0099), moved(-0.0099)])) == []
    assert list(near_ends([moved(0.0111, step=0.0005)])) == []
    assert list(near_ends([moved(0.0149, free=False)])) == []


def test_an_adjuster_without_a_travel_has_no_end() -> None:
    endless = moved(5.0)._replace(adjuster=Adjuster(id="stage-side", axis="y"))
    assert list[Warned](near_ends([endless])) == []


def test_a_heavy_rig_an_unknown_one_and_one_on_an_arm_are_minded() -> None:
    assert list(drop_cautions(hanging(), 1)) == ["drop-test"]
    assert list(drop_cautions(hanging(), 0)) == ["drop-test", "unknown-rig"]
    armed = replace(POST_ONE, rated_load={"arm": LoadRange(least=9.0, greatest=20.0)})
    stand = Inference(kit(rig=armed), [hung()]).stands[0]
    assert list(drop_cautions(stand, 1)) == ["drop-test", "arm-load"]
    battery = replace(stand.inference.kit.components["block-battery"], mass=3.0)
    heavy = Inference(kit(components={"block-battery": battery}), [hung()]).stands[0]
    assert list(drop_cautions(heavy, 1)) == ["drop-test", "heavy-drop-test"]
