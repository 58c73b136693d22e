"""What was measured on a component by itself sharpens its figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from riglog.estimation.kit import Kit, Weighing
from riglog.estimation.measured import Measured
from riglog.estimation.parameters import Parameters
from riglog.estimation.priors import together
from riglog.records import Component
from riglog.records.measurements import CenterOfGravity, Inertia

if TYPE_CHECKING:
    from riglog.estimation.priors import Figures

ON = "2026-03-14T09:00:00+00:00"
DAY = "2026-03-14"
LENS = Component(id="lens", kind="lens", size=(0.12, 0.1, 0.1))
UNIT = Component(id="lens-b", like="lens")


def weighing(entry: str, mass_kg: float, sd_kg: float, scale: str | None = None) -> Weighing:
    common = 0.6 * sd_kg if scale else 0.0
    return Weighing(mass_kg, sd_kg, "kim", ON, scale, None, entry, scale, common)


def figures(name: str, kit: Kit, *components: Component) -> Figures:
    known = {each.id: each for each in components}
    return Parameters(kit._replace(components=known)).figures(name, DAY)


def of_lens(measured: Measured) -> Kit:
    return Kit(rigs={}, components={}, measured={"lens": measured})


NOTHING = Kit(rigs={}, components={})


def test_the_same_scale_is_off_by_the_same_each_time_and_another_is_not() -> None:
    same = together([weighing("a", 1.5, 0.005, "bench"), weighing("b", 1.5, 0.005, "bench")])
    assert same.sd == pytest.approx(np.hypot(0.004 / 2**0.5, 0.003))
    apart = together([weighing("a", 1.5, 0.005, "bench"), weighing("b", 1.5, 0.005, "crane")])
    assert apart.sd == pytest.approx(0.005 / 2**0.5)


def test_weighings_on_one_scale_count_as_one_source() -> None:
    twice = [weighing("a", 1.5, 0.005, "bench"), weighing("b", 1.5, 0.005, "bench")]
    assert together([*twice, weighing("c", 1.53, 0.005)]).birge == pytest.approx(
        0.03 / np.hypot(together(twice).sd, 0.005)
    )


def test_an_edge_tells_the_axis_that_it_was_laid_along_and_no_other() -> None:
    edge = CenterOfGravity(component="lens", on=ON, along="x", at=0.07, sd=0.0015)
    before = figures("lens", NOTHING, LENS)
    told = figures("lens", of_lens(Measured([edge])), LENS)
    share = 0.02**2 / (0.02**2 + 0.0015**2)  # a sixth of 120 mm against 1.5 mm
    assert told.cg_m[0] == pytest.approx(0.06 + share * 0.01)
    assert told.cg_sd_m[0] == pytest.approx((1 / 0.02**2 + 1 / 0.0015**2) ** -0.5)
    assert (told.cg_m[1:], told.cg_sd_m[1:]) == (before.cg_m[1:], before.cg_sd_m[1:])


def test_a_guess_from_the_size_contradicts_no_edge_and_a_stated_center_may() -> None:
    edge = CenterOfGravity(component="lens", on=ON, along="x", at=0.2, sd=0.001)
    guessed = figures("lens", of_lens(Measured([edge])), LENS)
    assert guessed.cg_sd_m[0] < 0.0011
    stated = Component(id="lens", kind="lens", cg=(0.06, 0.0, 0.0), cg_sd=0.001)
    contradicted = figures("lens", of_lens(Measured([edge])), stated)
    assert contradicted.cg_sd_m[0] == pytest.approx(0.07, rel=0.01)


def test_a_swing_about_one_axis_scales_the_whole_tensor() -> None:
    before = figures("lens", NOTHING, LENS)
    mass = np.exp(before.log_mass)
    twice = 2 * mass * float(before.inertia_m2[1, 1])
    swung = Inertia(component="lens", on=ON, about="y", moment=twice, sd=0.02 * twice)
    told = figures("lens", of_lens(Measured(inertias=[swung])), LENS)
    ratio = np.diag(told.inertia_m2) / np.diag(before.inertia_m2)
    assert np.ptp(ratio) < 1e-12
    measured_sd = np.hypot(0.02, 0.05)
    share = 0.15**2 / (0.15**2 + measured_sd**2)
    assert np.log(ratio[0]) == pytest.approx(share * np.log(2))
    assert told.log_inertia_sd < before.log_inertia_sd


def test_a_unit_measured_along_one_axis_keeps_what_its_type_says_of_the_others() -> None:
    typed = Component(id="lens", kind="lens", cg=(0.05, 0.001, 0.002), cg_sd=0.001)
    edge = CenterOfGravity(component="lens-b", on=ON, along="x", at=0.056, sd=0.0005)
    kit = NOTHING._replace(measured={"lens-b": Measured([edge])})
    told = figures("lens-b", kit, typed, UNIT)
    assert told.cg_m[1:] == (0.001, 0.002)
    assert told.cg_sd_m[1] == pytest.approx(np.hypot(0.001, 0.002))
    assert told.cg_m[0] == pytest.approx(0.056, abs=0.0005)
