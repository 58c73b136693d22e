"""Factors against published exact values and against an independent library."""

from fractions import Fraction
from functools import cache

import pint
import pytest

from riglog.units import KILOGRAM, KILOGRAM_METER_SQUARED, METER, NEWTON, Unit, parse
from riglog.units.symbols import FACTORS, NAMES, SYNONYMS, factor, unit_of

# NIST SP 811 (2008), appendix B.8; 16 CFR 500.19 (1 inch = 2.54 cm exactly); the standard
# acceleration of free fall 9.80665 m/s^2 of the 3rd CGPM (1901) behind the pound-force.
PUBLISHED = [
    ("1 lb", KILOGRAM, 0.45359237, 1e-15),
    ("1 oz", KILOGRAM, 28.349523125e-3, 1e-15),
    ("1 in", METER, 0.0254, 1e-17),
    ("1 lbf", NEWTON, 4.4482216152605, 4.4482216152605e-15),
    ("1 lb in2", KILOGRAM_METER_SQUARED, 0.00029263965, 0.00029263965e-7),
]

# How the other library spells what people write.
SPELLING = {
    "kg m2": "kg * m**2",
    "kg cm2": "kg * cm**2",
    "g cm2": "g * cm**2",
    "g mm2": "g * mm**2",
    "lb in2": "lb * inch**2",
    "N m": "N * m",
    "%": "percent",
    "deg": "degree",
    "in": "inch",
    "m/s2": "m / s**2",
    "ft/s2": "foot / s**2",
    "km/h": "kilometer / hour",
}
SI = {
    "rad": "radian",
    "kg m2": "kg * m**2",
    "N m": "N * m",
    "m/s2": "m / s**2",
    "1": "dimensionless",
}


@pytest.mark.parametrize(("text", "unit", "value", "tolerance"), PUBLISHED)
def test_units_have_their_published_exact_values(
    text: str, unit: Unit, value: float, tolerance: float
) -> None:
    assert abs(parse(text, unit) - value) <= tolerance


@cache
def registry(*, exact: bool) -> pint.UnitRegistry:
    """The other library, with fractions where a unit is a fraction of its SI unit."""
    return pint.UnitRegistry(non_int_type=Fraction if exact else float)


# A turn a minute has its own test: the other library rounds it on the way.
SYMBOLS = [s for symbols in FACTORS.values() for s in symbols if s != "rpm"]


@pytest.mark.parametrize("symbol", SYMBOLS)
def test_every_factor_agrees_with_an_independent_library(symbol: str) -> None:
    si = unit_of()[symbol]
    one = registry(exact=symbol not in {"deg", "deg/s"}).Quantity(1, SPELLING.get(symbol, symbol))
    assert float(factor(symbol)) == float(one.to(SI.get(si, si)).magnitude)


def test_a_pound_is_sixteen_ounces_and_a_foot_twelve_inches_without_any_rounding() -> None:
    assert factor("lb") == 16 * factor("oz")
    assert factor("ft") == 12 * factor("in")
    assert factor("rpm") == 6 * factor("deg/s")
    assert factor("lb in2") == factor("lb") * factor("in") ** 2


def test_every_synonym_leads_to_a_symbol_and_is_none_itself() -> None:
    assert set(SYNONYMS.values()) <= set(unit_of())
    assert not set(SYNONYMS) & set(unit_of())


def test_every_unit_has_a_name() -> None:
    assert set(NAMES) == set(FACTORS)
