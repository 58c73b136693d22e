"""A rig as it would hang if one thing on it were otherwise, and all else as readings tell it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.scenes import A_CAM, LENS_35, drop, hung, kit, logged

from riglog.estimation.guess import as_if
from riglog.estimation.inference import Inference

if TYPE_CHECKING:
    from riglog.estimation.guess import Guess
    from riglog.records import Component

# A lens on a rig of which nobody listed the rest, not even its post.
LENS_ALONE = replace(A_CAM, parts=(replace(A_CAM.parts[2], on="stage"),))


def timed(lens: Component = LENS_35) -> Inference:
    stood = [hung(LENS_ALONE), hung(LENS_ALONE, pivot=0.512)]
    readings = (logged(drop(3.0, 3.1), stood[0]), logged(drop(2.1), stood[1]))
    return Inference(kit(*readings, components={lens.id: lens}), stood[:1])


def guessed(told: Inference, lens: Component) -> Guess:
    changed = kit(components={lens.id: lens})._replace(readings=told.kit.readings)
    return as_if(changed, told.stands[0].hung, told.parameters, told.theta)


def test_a_thing_that_stays_as_it_is_leaves_the_rig_as_it_hangs() -> None:
    told = timed()
    again, best = guessed(told, LENS_35), told.stands[0]
    assert np.array_equal(again.positions_m, best.positions_m)
    for one, other in zip(again.hangs[:-1], best.hangs[:-1], strict=True):
        assert np.array_equal(one, other)


@pytest.mark.parametrize("grams", [50.0, -120.0, 400.0])
def test_a_lens_of_other_mass_changes_the_weight_by_that_and_nothing_else(grams: float) -> None:
    told = timed()
    before = told.stands[0]
    after = guessed(told, replace(LENS_35, mass=1.12 + grams / 1000))
    gained = after.hangs.weight_kg - before.hangs.weight_kg
    assert gained == pytest.approx(grams / 1000, abs=1e-9)
    # By the law of the lever the center of all goes towards that of the lens.
    lens = before.tree.parts.index("lens-35")
    moment = before.hangs.cg_m[0] * before.hangs.mass_kg
    moment = moment + before.hangs.part_cg_m[0, lens] * grams / 1000
    assert after.hangs.cg_m[0] == pytest.approx(moment / after.hangs.mass_kg, abs=1e-9)
    rest = [each for each in range(len(before.tree.parts)) if each != lens]
    assert np.array_equal(after.hangs.part_mass_kg[rest], before.hangs.part_mass_kg[rest])


def test_a_guess_that_readings_corrected_never_makes_a_mass_of_nothing() -> None:
    told = timed(replace(LENS_35, mass=3.0, mass_sd=2.5))
    light = guessed(told, replace(LENS_35, mass=0.05))
    lens = light.tree.parts.index("lens-35")
    assert light.hangs.part_mass_kg[lens] >= 0.025
