"""Where a step of the pivot is too coarse, a part that moves the balance finer."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from estimation.scenes import A_CAM, PARTS, PIVOT, POST_ONE, SCREEN, hung, kit
from scipy.special import ellipk  # type: ignore[import-untyped]  # scipy ships no types

from riglog.estimation.inference import Inference
from riglog.jobs.vernier import vernier
from riglog.records import Build, Part

if TYPE_CHECKING:
    from riglog.jobs.answers import Vernier


def offered(depth_m: float, step_m: float = 0.0005, build: Build = A_CAM) -> Vernier | None:
    rig = replace(POST_ONE, adjusters=(replace(PIVOT, step=step_m), *POST_ONE.adjusters[1:]))
    stuck = {"stuck": replace(SCREEN, id="stuck", kind="trim-weight", mass=0.4)}
    stand = Inference(kit(rig=rig, components=stuck), [hung(build)]).stands[0]
    return vernier(stand, stand.settle([stand.tree.pivot], 3.0), depth_m)


def without(*kinds: str) -> Build:
    return replace(A_CAM, parts=tuple(part for part in PARTS if part.component not in kinds))


def test_it_is_offered_near_neutral_and_not_far_from_it() -> None:
    assert offered(0.002) is not None
    assert offered(0.010) is None


def test_a_finer_scale_needs_none() -> None:
    assert offered(0.002, step_m=0.0001) is None
    assert offered(0.006, step_m=0.002) is not None


def test_a_rig_that_is_top_heavy_is_not_trimmed_by_a_hair() -> None:
    assert offered(0.0) is None
    assert offered(-0.002) is None


def test_lowering_the_part_does_as_much_as_half_a_step_of_the_pivot() -> None:
    told = offered(0.002)
    assert told is not None
    mass = 2.5 + 4.21 + 1.12 + 2.6 + 1.2
    assert (told.part, told.toward) == ("screen", "down")
    assert told.mass_kg == pytest.approx(1.2)
    assert told.part_m * 1.2 / mass == pytest.approx(0.00025)
    assert told.pivot_m == pytest.approx(0.00025)


def test_it_tells_by_how_much_the_drop_grows_shorter() -> None:
    told = offered(0.002)
    stand = Inference(kit(), [hung()]).stands[0]
    k2 = float(stand.settle([stand.tree.pivot], 3.0).hangs.gyration_m2[0])

    def drop_s(depth_m: float) -> float:
        return float(ellipk(0.5) * ((k2 + depth_m**2) / (9.80665 * depth_m)) ** 0.5)

    assert told is not None
    assert told.drop_change_s == pytest.approx(drop_s(0.00225) - drop_s(0.002), abs=1e-6)
    assert told.drop_change_s < 0


def test_the_handiest_part_is_taken_whichever_is_listed_first() -> None:
    weighted = replace(A_CAM, parts=(Part(component="stuck", on="base"), *PARTS))
    for build, part in [
        (weighted, "screen"),
        (replace(weighted, parts=weighted.parts[:1] + without("screen").parts), "stuck"),
        (without("screen"), "block-battery"),
    ]:
        told = offered(0.002, build=build)
        assert told is not None
        assert told.part == part


def test_where_no_part_is_handy_nothing_is_offered() -> None:
    assert offered(0.002, build=without("screen", "block-battery")) is None
