"""Masses in the units of a rig's scale. 1 lb is 0.45359237 kg and 16 oz (NIST SP 811, B.8)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.jobs.answers import Value
from riglog.units import KILOGRAM, parse
from riglog.wording import masses

LB = 0.45359237
OZ = LB / 16


@pytest.mark.parametrize(
    ("mass_kg", "unit", "shown"),
    [
        (17.16, "mm", "17.2 kg"),
        (0.1804, "cm", "180 g"),
        (37.84 * LB, "in", "37.8 lb"),
        (10 * LB, "in", "10.0 lb"),
        (2.26 * LB, "in", "2 lb 4 oz"),
        (2 * LB, "in", "2 lb"),
        (15.6 * OZ, "in", "1 lb"),
        (9.04 * OZ, "in", "9.0 oz"),
        (159.6 * OZ, "in", "10.0 lb"),
        (-2.26 * LB, "in", "-2 lb 4 oz"),
        (0.0, "in", "0.0 oz"),
    ],
)
def test_a_mass_on_a_rig_is_in_the_units_that_go_with_its_scale(
    mass_kg: float, unit: str, shown: str
) -> None:
    assert masses.on_rig(mass_kg, unit) == shown


@given(st.floats(0.001, 60))
def test_what_is_shown_in_pounds_and_ounces_reads_back_as_about_the_same(mass_kg: float) -> None:
    """A document takes the same words."""
    shown = parse(masses.on_rig(mass_kg, "in"), KILOGRAM)
    step = 0.1 * OZ if mass_kg < LB else OZ if mass_kg < 10 * LB else 0.1 * LB
    assert abs(shown - mass_kg) <= 0.5001 * step + 0.5 * OZ * (15 * OZ < mass_kg < LB)


def test_a_mass_is_told_as_finely_as_it_is_known() -> None:
    assert masses.known(17.204, 0.0151, "mm") == "17.20 kg, give or take 15 g"
    assert masses.known(17.204, 0.0151, "in") == "37.93 lb, give or take 0.5 oz"
    assert masses.between(Value(1.118, 1.116, 1.12), "mm") == "1118 g (1116 to 1120)"
    assert masses.between(Value(1.118, 1.116, 1.12), "in") == "2.465 lb (2.460 to 2.469)"
    assert masses.between(Value(0.15, 0.149, 0.151), "in") == "5.29 oz (5.26 to 5.33)"
    assert masses.finely(0.31, "in") == "10.9 oz"
    assert masses.finely(17.204, "mm") == "17.204 kg"


def test_a_difference_has_its_sign() -> None:
    assert masses.difference(0.003, "mm") == "+3 g"
    assert masses.difference(-0.003, "in") == "-0.1 oz"
    assert masses.difference(7.726 * LB, "in") == "+7.73 lb"
    assert masses.off(-0.135, "in") == "4.8 oz"
    assert masses.in_column(0.1, "in", signed=True) == "+3.5"
    assert masses.in_column(0.2549, "mm") == "255"
