"""What an answer rests on, and what it took for granted."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from estimation.scenes import A_CAM, LENS_35, PARTS, SCREEN, drop, hung, kit, logged, swapped

from riglog.estimation.inference import Inference
from riglog.jobs.evidence import evidence_of
from riglog.records import HangsUpright, Weight

if TYPE_CHECKING:
    from riglog.estimation.kit import Hung, Kit
    from riglog.jobs.answers import Evidence

HELD = hung()._replace(settings={"pivot": 0.505, "stage-fore-aft": -0.0095, "stage-side": 0.0})


def evidence(kit: Kit, asked: Hung = HELD) -> Evidence:
    return evidence_of(Inference(kit, [asked]).stands[0])


def test_drops_are_counted_among_the_readings() -> None:
    taken = [
        logged(drop(2.9), HELD),
        logged(drop(3.0), HELD),
        logged(HangsUpright(build="a-cam", on="2026-03-14T09:10:00Z"), HELD),
        logged(Weight(build="a-cam", on="2026-03-14T09:10:00Z", mass=11.63), HELD),
    ]
    told = evidence(kit(*taken))
    assert (told.drops, told.readings) == (2, 4)
    assert (evidence(kit()).drops, evidence(kit()).readings) == (0, 0)
    assert told.doubted == []


def test_what_nobody_weighed_is_named_unless_its_type_was() -> None:
    known = {
        "screen": replace(SCREEN, mass=None),
        "lens-35-b": replace(LENS_35, id="lens-35-b", mass=None, like="lens-35"),
    }
    build = swapped(new="lens-35-b")
    stood = HELD._replace(build=build)
    assert evidence(kit(components=known), stood).unweighed == ["screen"]
    known["lens-35"] = replace(LENS_35, mass=None)
    assert evidence(kit(components=known), stood).unweighed == ["lens-35-b", "screen"]


def test_what_is_not_part_of_the_build_is_no_gap() -> None:
    assert evidence(kit(components={"spare": replace(SCREEN, id="spare", mass=None)})) == evidence(
        kit()
    )


def test_a_lump_that_stands_for_what_nobody_listed_is_told() -> None:
    assert not evidence(kit()).unlisted
    camera = tuple(part for part in PARTS if part.component == "body-north")
    bare = HELD._replace(build=replace(A_CAM, parts=camera))
    assert evidence(kit(), bare).unlisted


def test_adjusters_that_nobody_set_are_named() -> None:
    assert evidence(kit(), HELD._replace(settings={"stage-side": 0.0})).unset == [
        "pivot",
        "stage-fore-aft",
    ]
    assert evidence(kit()).unset == []


def test_readings_held_for_wild_are_named_by_their_entries() -> None:
    good = [logged(drop(3.0), HELD, entry=f"good-{number}") for number in range(4)]
    for off_m in (0.025, 0.09):  # a mark misread, and a wrong digit
        elsewhere = HELD._replace(settings={**HELD.settings, "pivot": 0.505 + off_m})
        slip = logged(drop(3.0), elsewhere, entry="slip")
        ((entry, share),) = evidence(kit(*good, slip)).doubted
        assert entry == "slip"
        assert 0.5 < share <= 1
