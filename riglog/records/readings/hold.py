"""The hold band of friction."""

from dataclasses import dataclass
from typing import Literal

from riglog.records.readings.measured import Angle, Measured


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Hold(Measured):
    """How far it was tilted from where it hangs, and let go without a push.

    ``stays`` is the farthest at which it stayed put. ``falls`` is the least at which it did not.
    """

    kind: Literal["hold"] = "hold"
    stays: Angle | None = None
    falls: Angle | None = None
