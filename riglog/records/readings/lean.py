"""How it hangs, by a level."""

from dataclasses import dataclass
from typing import Literal

from riglog.records.readings.measured import Angle, Measured
from riglog.units import Radians


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Lean(Measured):
    """How it hung: ``lean`` positive with the nose down, ``side`` positive with its right low.

    ``pan`` is where the rig was panned to in its gimbal when the lean was read.
    """

    kind: Literal["lean"] = "lean"
    lean: Radians | None = None
    side: Radians | None = None
    pan: Radians | None = None
    sd: Angle | None = None
