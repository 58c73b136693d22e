"""Text and SI, and the only place that knows a millimeter."""

from riglog.units.kinds import (
    KILOGRAM,
    KILOGRAM_METER_SQUARED,
    METER,
    NEWTON,
    NEWTON_METER,
    RADIAN,
    RATIO,
    SECOND,
    KilogramMetersSquared,
    Kilograms,
    Meters,
    NewtonMeters,
    Newtons,
    Radians,
    Ratio,
    Seconds,
    Unit,
)
from riglog.units.parsing import parse, parse_loose
from riglog.units.showing import convert, decimals_for, exact, show, show_at_step
from riglog.units.symbols import symbols_for

__all__ = [
    "KILOGRAM",
    "KILOGRAM_METER_SQUARED",
    "METER",
    "NEWTON",
    "NEWTON_METER",
    "RADIAN",
    "RATIO",
    "SECOND",
    "KilogramMetersSquared",
    "Kilograms",
    "Meters",
    "NewtonMeters",
    "Newtons",
    "Radians",
    "Ratio",
    "Seconds",
    "Unit",
    "convert",
    "decimals_for",
    "exact",
    "parse",
    "parse_loose",
    "show",
    "show_at_step",
    "symbols_for",
]
