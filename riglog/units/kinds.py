"""The SI units that numbers in memory and in the logbook are in."""

from __future__ import annotations

from typing import Annotated, NamedTuple


class Unit(NamedTuple):
    """The SI unit that a number in memory or in the logbook is in.

    Parameters
    ----------
    si
        One of ``kg m s rad N "N m" "kg m2" m/s m/s2 rad/s 1``.
    """

    si: str


KILOGRAM = Unit("kg")
METER = Unit("m")
SECOND = Unit("s")
RADIAN = Unit("rad")
NEWTON = Unit("N")
NEWTON_METER = Unit("N m")
KILOGRAM_METER_SQUARED = Unit("kg m2")
METER_PER_SECOND = Unit("m/s")
METER_PER_SECOND_SQUARED = Unit("m/s2")
RADIAN_PER_SECOND = Unit("rad/s")
RATIO = Unit("1")

Kilograms = Annotated[float, KILOGRAM]
Meters = Annotated[float, METER]
Seconds = Annotated[float, SECOND]
Radians = Annotated[float, RADIAN]
Newtons = Annotated[float, NEWTON]
NewtonMeters = Annotated[float, NEWTON_METER]
KilogramMetersSquared = Annotated[float, KILOGRAM_METER_SQUARED]
Ratio = Annotated[float, RATIO]
