"""The unit symbols that people write, what each is in SI, and the words mistaken for them."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from fractions import Fraction

    from riglog.units.kinds import Unit

# pi to 60 places (DLMF 3.12.1): a degree is rounded once, like everything else.
_PI = "3.141592653589793238462643383279502884197169399375105820974944"

# By SI unit, in the order in which messages list them: symbol -> exact value in SI.
# lb 0.45359237 kg, in 0.0254 m and lbf 4.4482216152605 N are exact (NIST SP 811, appendix B.8).
FACTORS: Mapping[str, Mapping[str, str]] = {
    "kg": {"kg": "1", "g": "0.001", "lb": "0.45359237", "oz": "0.028349523125"},
    "m": {"mm": "0.001", "cm": "0.01", "m": "1", "in": "0.0254", "ft": "0.3048"},
    "s": {"s": "1", "ms": "0.001", "min": "60"},
    "rad": {"deg": f"{_PI}/180", "rad": "1"},
    "N": {"N": "1", "lbf": "4.4482216152605"},
    "N m": {"N m": "1"},
    "kg m2": {
        "kg m2": "1", "kg cm2": "0.0001", "g cm2": "0.0000001", "g mm2": "0.000000001",
        "lb in2": "0.0002926396534292",
    },
    # mi 1609.344 m is exact (NIST SP 811, appendix B.8).
    "m/s": {"m/s": "1", "km/h": "5/18", "ft/s": "0.3048", "mph": "0.44704"},
    "m/s2": {"m/s2": "1", "ft/s2": "0.3048"},
    "rad/s": {"rpm": f"{_PI}/30", "deg/s": f"{_PI}/180", "rad/s": "1"},
    "1": {"%": "0.01"},
}  # fmt: skip

NAMES: Mapping[str, str] = {
    "kg": "a mass",
    "m": "a length",
    "s": "a time",
    "rad": "an angle",
    "N": "a force",
    "N m": "a torque",
    "kg m2": "an inertia",
    "m/s": "a speed",
    "m/s2": "an acceleration",
    "rad/s": "a pan rate",
    "1": "a share",
}

SYNONYMS: Mapping[str, str] = {
    "lbs": "lb", "pound": "lb", "pounds": "lb", "#": "lb", "ounce": "oz", "ounces": "oz",
    "gram": "g", "grams": "g", "gr": "g", "kilo": "kg", "kilos": "kg", "kgs": "kg",
    "kilogram": "kg", "kilograms": "kg", "mil": "mm", "millimeter": "mm", "millimeters": "mm",
    "centimeter": "cm", "centimeters": "cm", "meter": "m", "meters": "m", "metre": "m",
    "metres": "m", "inch": "in", "inches": "in", "ins": "in", '"': "in", "''": "in", "\u2033": "in",
    "foot": "ft", "feet": "ft", "'": "ft", "\u2032": "ft", "sec": "s", "secs": "s", "second": "s",
    "seconds": "s", "msec": "ms", "minute": "min", "minutes": "min", "mins": "min",
    "\u00b0": "deg", "degree": "deg", "degrees": "deg", "degs": "deg", "radian": "rad",
    "radians": "rad", "newton": "N", "newtons": "N", "percent": "%", "pct": "%",
    "kg m^2": "kg m2", "kg\u00b7m2": "kg m2", "kg\u00b7m\u00b2": "kg m2", "kg m\u00b2": "kg m2",
    "kg*m^2": "kg m2", "lb in^2": "lb in2", "lb in\u00b2": "lb in2", "g mm^2": "g mm2",
    "g mm\u00b2": "g mm2", "N\u00b7m": "N m", "N*m": "N m", "m/s^2": "m/s2", "m/s\u00b2": "m/s2",
    "kmh": "km/h", "kph": "km/h", "mps": "m/s", "r/min": "rpm", "1/min": "rpm",
}  # fmt: skip


@cache
def factor(symbol: str) -> Fraction:
    """What one of a symbol is in SI, exactly.

    Raises
    ------
    KeyError
        If there is no such symbol.
    """
    # Imported here: listing a library needs no exact arithmetic.
    from fractions import Fraction

    number, _, divisor = _factor_texts()[symbol].partition("/")
    return Fraction(number) / int(divisor or "1")


@cache
def _factor_texts() -> dict[str, str]:
    merged: dict[str, str] = {}
    for symbols in FACTORS.values():
        merged.update(symbols)
    return merged


@cache
def unit_of() -> Mapping[str, str]:
    """The SI unit of each symbol that people write."""
    return {symbol: si for si, symbols in FACTORS.items() for symbol in symbols}


def symbols_for(unit: Unit) -> tuple[str, ...]:
    """The symbols that fit a unit, the usual one first."""
    return tuple(FACTORS[unit.si])
