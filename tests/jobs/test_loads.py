"""What each link of the support carries, against its rating."""

from __future__ import annotations

from dataclasses import replace

import pytest
from estimation.scenes import A_CAM, POST_ONE, hung, kit

from riglog.estimation.inference import Inference
from riglog.jobs.answers import Load, Warned
from riglog.jobs.loads import load_warnings, loads_of, worn_kg
from riglog.records import Component, LoadRange, Mount, Part, Turn


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


def test_arm_and_vest_bear_all_but_themselves_and_all_of_it_is_carried() -> None:
    nowhere = Mount(at=(0.0, 0.0, 0.0), tilts=False)
    most = LoadRange(greatest=20.0)
    mounts = {**POST_ONE.mounts, "arm": nowhere, "vest": nowhere}
    rig = replace(POST_ONE, mounts=mounts, rated_load={"arm": most, "vest": most, "gimbal": most})
    spring = Component(id="spring-arm", mass=5.2, size=(0.1, 0.1, 0.6))
    vest = Component(id="vest-one", mass=4.1, size=(0.3, 0.3, 0.5))
    parts = (
        *A_CAM.parts,
        Part(component="spring-arm", on="arm"),
        Part(component="vest-one", on="vest"),
    )
    components = {"spring-arm": spring, "vest-one": vest}
    stood = hung(replace(A_CAM, parts=parts))
    stand = Inference(kit(rig=rig, components=components), [stood]).stands[0]
    told = {load.link: load.mass_kg for load in loads_of(stand)}
    tilting = 2.5 + 4.21 + 1.12 + 2.6 + 1.2
    expected = {"gimbal": tilting, "arm": tilting, "vest": tilting + 5.2}
    assert told == pytest.approx(expected)
    assert worn_kg(stand) == pytest.approx(tilting + 5.2 + 4.1)
    assert worn_kg(Inference(kit(), [hung()]).stands[0]) is None


def test_a_camera_hung_by_its_top_still_weighs_on_the_stage() -> None:
    parts = (
        replace(part, by="top", turn=Turn(about="x", by=3.0)) if part.id == "body-north" else part
        for part in A_CAM.parts
    )
    rig = replace(POST_ONE, rated_load={"stage": LoadRange(greatest=20.0)})
    stand = Inference(kit(rig=rig), [hung(replace(A_CAM, parts=tuple(parts)))]).stands[0]
    assert loads_of(stand)[0].mass_kg == pytest.approx(4.21 + 1.12)


def test_a_stage_that_a_post_segment_carries_bears_what_sits_on_it() -> None:
    """A post in two segments, each a component; the upper one has the mount that is rated."""
    tube = Mount(at=(0.0, 0.0, 0.38))
    lower = Component(id="tube-low", kind="post", mass=1.1, size=(0.05, 0.05, 0.4))
    upper = replace(lower, id="tube-high", mass=0.9, mounts={"stage": tube})
    lower = replace(lower, mounts={"end": tube})
    slide = Component(
        id="slide", kind="stage", mass=1.3, size=(0.16, 0.12, 0.06), mounts={"plate": tube}
    )
    mounts = {name: at for name, at in POST_ONE.mounts.items() if name != "stage"}
    most = LoadRange(greatest=9.0)
    links = ("stage", "slide", "tube-high", "rig")
    rig = replace(POST_ONE, mounts=mounts, rated_load=dict.fromkeys(links, most))
    above = [part for part in A_CAM.parts if part.id not in {"post-tube", "body-north"}]
    parts = (
        Part(component="tube-low", on="post"),
        Part(component="tube-high", on="tube-low.end"),
        Part(component="slide", on="tube-high.stage"),
        Part(component="body-north", on="slide.plate"),
        *above,
    )
    components = {"tube-low": lower, "tube-high": upper, "slide": slide}

    def told(**mounted: Mount) -> dict[str, float]:
        changed = {**components, "tube-high": replace(upper, mounts=mounted)}
        named = tuple(
            replace(part, on=f"tube-high.{next(iter(mounted))}") if part.id == "slide" else part
            for part in parts
        )
        stood = hung(replace(A_CAM, parts=named))
        stand = Inference(kit(rig=rig, components=changed), [stood]).stands[0]
        return {load.link: load.mass_kg for load in loads_of(stand)}

    camera, whole = 4.21 + 1.12, 1.1 + 0.9 + 1.3 + 4.21 + 1.12 + 2.6 + 1.2
    on_mount = {"stage": 1.3 + camera, "slide": camera, "tube-high": 1.3 + camera, "rig": whole}
    assert told(stage=tube) == pytest.approx(on_mount)
    # Where no mount is called so, the part of that kind is meant.
    assert told(end=tube) == pytest.approx({**on_mount, "stage": camera})


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
