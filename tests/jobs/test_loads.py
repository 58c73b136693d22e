"""What each link of the support carries, against its rating."""

from __future__ import annotations

from dataclasses import replace

import pytest
from estimation.scenes import A_CAM, POST_ONE, hung, kit

from riglog.estimation.inference import Inference
from riglog.jobs.answers import Load, Warned
from riglog.jobs.loads import load_warnings, loads_of
from riglog.records import LoadRange, Part


def loads(**rated: LoadRange) -> dict[str, Load]:
    rig = replace(POST_ONE, rated_load=rated)
    build = replace(
        A_CAM,
        parts=(
            *A_CAM.parts,
            Part(component="handle", on="handle"),
            Part(component="inner-yoke", on="yoke"),
        ),
    )
    stand = Inference(kit(rig=rig), [hung(build)]).stands[0]
    return {load.link: load for load in loads_of(stand)}


def test_a_mount_carries_what_sits_there_the_gimbal_what_tilts_and_others_all() -> None:
    most = LoadRange(greatest=20.0)
    told = loads(
        gimbal=most,
        stage=most,
        base=most,
        handle=most,
        arm=LoadRange(least=9.0, greatest=20.0),
        vest=most,
    )
    tilting = 2.5 + 4.21 + 1.12 + 2.6 + 1.2 + 0.35
    assert told["gimbal"].mass_kg == pytest.approx(tilting)
    assert told["stage"].mass_kg == pytest.approx(4.21 + 1.12)
    assert told["base"].mass_kg == pytest.approx(2.6 + 1.2)
    assert told["handle"].mass_kg == pytest.approx(0.9)
    assert told["arm"].mass_kg == told["vest"].mass_kg == pytest.approx(tilting + 0.9)
    assert (told["arm"].least_kg, told["arm"].greatest_kg) == (9.0, 20.0)


def test_a_rig_that_nobody_rated_says_nothing() -> None:
    assert loads() == {}


@pytest.mark.parametrize(
    ("mass", "warned"),
    [
        (8.9, [Warned("under_load", "arm", 8.9, 9.0)]),
        (9.0, []),
        (20.0, []),
        (20.1, [Warned("over_load", "arm", 20.1, 20.0)]),
    ],
)
def test_outside_its_ratings_a_link_is_warned_of(mass: float, warned: list[Warned]) -> None:
    assert list(load_warnings([Load("arm", mass, 9.0, 20.0)])) == warned


def test_without_a_least_load_nothing_is_too_light() -> None:
    assert list(load_warnings([Load("stage", 0.0, None, 8.0)])) == []
