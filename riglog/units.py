"""Text and SI, and the only place that knows a millimeter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated


@dataclass(frozen=True, slots=True)
class Unit:
    """The SI unit that a number in memory or in the logbook is in.

    Parameters
    ----------
    si
        One of ``kg m s rad N "N m" "kg m2" 1``.
    """

    si: str


Kilograms = Annotated[float, Unit("kg")]
Meters = Annotated[float, Unit("m")]
Seconds = Annotated[float, Unit("s")]
Radians = Annotated[float, Unit("rad")]
Newtons = Annotated[float, Unit("N")]
NewtonMeters = Annotated[float, Unit("N m")]
KilogramMetersSquared = Annotated[float, Unit("kg m2")]
Ratio = Annotated[float, Unit("1")]
