"""A rig panned half round in its gimbal: what turns along is the rig's, the rest the gimbal's."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, radians, sin
from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.scenes import A_CAM, AT, drop, hung, kit, logged

from riglog.estimation.inference import Inference
from riglog.records import Lean, Reading

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging

STANDS = hung()


def asked(*readings: Reading) -> Hanging:
    told = [logged(each, STANDS, entry=f"e-{index}") for index, each in enumerate(readings)]
    return Inference(kit(*told), [STANDS]).stands[0]


def leans(
    rig: tuple[float, float], axis: tuple[float, float], depth: float, pan_deg: float
) -> Lean:
    """As a plumb line has it: the axis is turned back into the rig's frame as the rig is panned."""
    pan = radians(pan_deg)
    x = rig[0] - (axis[0] * cos(pan) + axis[1] * sin(pan))
    y = rig[1] - (axis[1] * cos(pan) - axis[0] * sin(pan))
    return Lean(
        build="a-cam", on=AT, lean=atan2(x, depth), side=atan2(-y, depth), pan=pan, sd=0.002
    )


@pytest.mark.parametrize("pans", [(0.0, 180.0), (90.0, -90.0), (0.0, 120.0, 240.0)])
def test_leans_read_half_round_tell_the_rig_from_its_gimbal(pans: tuple[float, ...]) -> None:
    depth = 0.005
    rig, axis = (0.0002, -0.00012), (-0.00025, 0.00015)
    sure = drop(3.05, method="sensor")
    found = asked(sure, *(leans(rig, axis, depth, pan) for pan in pans))
    scale = float(found.lean().value[1]) / depth
    assert [each.value for each in found.trim()] == pytest.approx(
        np.array(rig) * scale, abs=0.00003
    )
    assert [each.value for each in found.centering()] == pytest.approx(
        np.array(axis) * scale, abs=0.00003
    )


def test_one_lean_alone_leaves_open_whose_it_is() -> None:
    found = asked(drop(3.05, method="sensor"), leans((0.0002, 0.0), (0.0, 0.0), 0.005, 0.0))
    assert found.centering()[0].standard_deviation > 0.9 * 0.0003
    assert found.trim()[0].standard_deviation > 0.9 * 0.0003
    # Together they are known as well as the lean was read.
    plane = found.lean()
    assert np.sqrt(plane.covariance[0, 0, 0]) < 0.0001


def test_where_no_pan_was_read_no_gimbal_is_in_the_way() -> None:
    found = asked(drop(3.05), Lean(build="a-cam", on=AT, lean=0.02))
    assert found.centering() == []
    assert found.tree.centering == ()


def test_trimmed_as_it_is_flown_it_hangs_upright_whatever_its_gimbal_does() -> None:
    axis = (-0.0003, 0.0)
    found = asked(
        drop(3.05, method="sensor"), *(leans((0.0, 0.0), axis, 0.005, pan) for pan in (0.0, 180.0))
    )
    settled = found.settle([found.tree.adjusters.index("stage-fore-aft")], None)
    across = settled.hangs.across_m[0, 0] - found.tree.axis_m(found.theta, settled.positions_m)[0]
    assert across == pytest.approx(0.0, abs=1e-9)
    assert settled.hangs.across_m[0, 0] == pytest.approx(axis[0], abs=0.00004)


def test_the_centering_belongs_to_the_rig() -> None:
    axis = (-0.0003, 0.0)
    told = [
        logged(each, STANDS, entry=f"e-{index}")
        for index, each in enumerate(
            [drop(3.05, method="sensor"),
             *(leans((0.0, 0.0), axis, 0.005, pan) for pan in (0.0, 180.0))]
        )
    ]  # fmt: skip
    other = hung(replace(A_CAM, id="b-cam"), version="v2")
    found = Inference(kit(*told), [other]).stands[0]
    assert found.centering()[0].value == pytest.approx(axis[0], abs=0.00004)
