"""Readings under conditions: what was measured is true, and tells nothing of what is listed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from estimation.scenes import A_CAM, AT, drop, hung, kit, logged

from riglog.estimation.inference import Inference
from riglog.records import (
    BalancePoint,
    Component,
    HangsUpright,
    Lean,
    Part,
    Reading,
    Swing,
    Weight,
)

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging

UNDER = {"build": "a-cam", "on": AT}
READINGS = (
    drop(2.2),
    Weight(**UNDER, mass=14.0),
    BalancePoint(**UNDER, at=0.49),
    HangsUpright(**UNDER),
    Lean(**UNDER, lean=0.2),
    Swing(**UNDER, swings=3, time=9.0, start=0.5),
)
COVER = Component(id="cape", kind="cover", mass=0.3)
UNIT = Component(id="cape-two", like="cape")


def told(hanging: Hanging) -> tuple[float, float, float, float]:
    depth = hanging.depth()
    return (
        depth.value, depth.standard_deviation, hanging.lean().value[0], hanging.weight().value,
    )  # fmt: skip


def asked(*readings: Reading, cover: str = "") -> Hanging:
    more = (Part(component=cover, on="body-north.top"),) if cover else ()
    there = hung(replace(A_CAM, parts=(*A_CAM.parts, *more)))
    components = {"cape": COVER, "cape-two": UNIT}
    taken = [logged(each, there, entry=f"e{number}") for number, each in enumerate(readings)]
    return Inference(kit(*taken, components=components), [there]).stands[0]


@pytest.mark.parametrize("condition", ["tether", "wind", "rain-cover"])
@pytest.mark.parametrize("reading", READINGS, ids=lambda reading: str(reading.kind))
def test_a_reading_under_a_condition_moves_no_answer(reading: Reading, condition: str) -> None:
    disturbed = replace(reading, conditions=(condition,))
    found = asked(drop(3.0), disturbed)
    assert told(found) == told(asked(drop(3.0)))
    assert [(each.entry, why) for each, why in found.inference.kept_out] == [("e1", (condition,))]


def test_without_the_condition_it_would_have() -> None:
    assert told(asked(drop(3.0), drop(2.2)))[0] > told(asked(drop(3.0)))[0] + 0.001


def test_how_a_person_times_is_not_judged_by_drops_in_the_wind() -> None:
    gusty = replace(drop(2.0, 3.0, 4.5), conditions=("wind",))
    found = asked(drop(3.0), gusty).inference.observations.timing_sd
    assert found == asked(drop(3.0)).inference.observations.timing_sd


@pytest.mark.parametrize("cover", ["cape", "cape-two"])
def test_under_a_cover_that_is_listed_a_drop_counts(cover: str) -> None:
    covered = replace(drop(2.2), conditions=("rain-cover",))
    found = asked(covered, cover=cover)
    assert told(found) == told(asked(drop(2.2), cover=cover))
    assert found.inference.kept_out == ()


def test_a_listed_cover_calms_no_wind() -> None:
    both = replace(drop(2.2), conditions=("rain-cover", "wind"))
    ((_, why),) = asked(both, cover="cape").inference.kept_out
    assert why == ("wind",)
