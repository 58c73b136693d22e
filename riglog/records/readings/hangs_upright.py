"""Upright, as far as the eye tells."""

from dataclasses import dataclass
from typing import Literal

from riglog.records.readings.measured import Angle, Measured


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class HangsUpright(Measured):
    """It hung upright, fore and aft, to within an angle."""

    kind: Literal["hangs-upright"] = "hangs-upright"
    within: Angle = 0.017453292519943295
