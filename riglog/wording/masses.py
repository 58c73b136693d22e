"""Masses in the units that go with a rig: pounds and ounces where its scale is in inches.

``unit`` is the length unit engraved on the pivot's scale. JSON has kilograms and grams always.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.units import convert, show
from riglog.wording.figures import with_bounds

if TYPE_CHECKING:
    from riglog.jobs.answers import Value

_OUNCES = 16
_POUND_KG = 0.45359237
# From here on a tenth of a pound is fine enough: less is told in whole ounces.
_POUNDS_ALONE = 10


def on_rig(mass_kg: float, unit: str) -> str:
    """A mass on the rig: ``17.2 kg`` or ``37.9 lb``; a small one ``255 g`` or ``9.0 oz``."""
    if unit != "in":
        return show(mass_kg, "kg", 1) if abs(mass_kg) >= 1 else show(mass_kg, "g", 0)
    ounces = round(abs(convert(mass_kg, "oz")))
    if ounces < _OUNCES:
        return show(mass_kg, "oz", 1)
    if ounces >= _POUNDS_ALONE * _OUNCES:
        return show(mass_kg, "lb", 1)
    pounds, rest = divmod(ounces, _OUNCES)
    return f"{'-' if mass_kg < 0 else ''}{pounds} lb{f' {rest} oz' if rest else ''}"


def weighed(mass_kg: float, unit: str) -> str:
    """A mass that was weighed: ``2.24 kg``, ``4.94 lb``."""
    return show(mass_kg, large(unit), 2)


def known(mass_kg: float, sd_kg: float, unit: str) -> str:
    """A mass and one standard deviation: ``17.20 kg, give or take 15 g``."""
    return f"{weighed(mass_kg, unit)}, give or take {on_rig(sd_kg, unit)}"


def finely(mass_kg: float, unit: str) -> str:
    """A mass to the gram: ``1118 g``, ``17.204 kg``; ``10.9 oz``, ``37.93 lb``."""
    if unit != "in":
        return show(mass_kg, "kg", 3) if abs(mass_kg) >= 10 else show(mass_kg, "g", 0)
    return show(mass_kg, "lb", 2) if abs(mass_kg) >= _POUND_KG else show(mass_kg, "oz", 1)


def between(mass_kg: Value, unit: str) -> str:
    """A mass and its bounds: ``1118 g (1116 to 1120)``, ``2.465 lb (2.460 to 2.469)``."""
    value = mass_kg.value or 0.0
    if unit != "in":
        return with_bounds(mass_kg, *(("kg", 3) if abs(value) >= 10 else ("g", 0)))
    return with_bounds(mass_kg, *(("lb", 3) if abs(value) >= _POUND_KG else ("oz", 2)))


def difference(mass_kg: float, unit: str) -> str:
    """A difference between masses: ``+3 g``, ``+0.1 oz``; a large one ``+7.73 lb``."""
    if unit == "in" and abs(mass_kg) >= _POUND_KG:
        return show(mass_kg, "lb", 2, signed=True)
    return show(mass_kg, small(unit), small_decimals(unit), signed=True)


def off(mass_kg: float, unit: str) -> str:
    """How far a mass is off, whichever way: ``135 g``, ``4.8 oz``."""
    return difference(abs(mass_kg), unit).removeprefix("+")


def alone(mass_kg: float, symbol: str, decimals: int) -> str:
    """A mass in a column whose heading has the unit: ``17.2``."""
    return show(mass_kg, symbol, decimals).removesuffix(f" {symbol}")


def in_column(mass_kg: float, unit: str, *, signed: bool = False) -> str:
    """What makes a rig neutral, below a heading that has the unit: ``255``, ``9.0``."""
    symbol, decimals = small(unit), small_decimals(unit)
    return show(mass_kg, symbol, decimals, signed=signed).removesuffix(f" {symbol}")


def large(unit: str) -> str:
    """The unit for a whole rig."""
    return "lb" if unit == "in" else "kg"


def small(unit: str) -> str:
    """The unit for what makes a rig neutral."""
    return "oz" if unit == "in" else "g"


def small_word(unit: str) -> str:
    """That unit spelled out."""
    return "ounces" if unit == "in" else "grams"


def small_decimals(unit: str) -> int:
    """Decimals of that unit: a tenth of an ounce is 3 g."""
    return 1 if unit == "in" else 0


def displayed(mass_kg: float) -> str:
    """A step of a scale's display: ``0.5 g``, ``10 g``."""
    return show(mass_kg, "g", 0 if mass_kg >= 0.0095 else 1)
