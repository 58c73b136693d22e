"""Drop tests."""

from dataclasses import dataclass, field
from typing import Annotated, Literal

from riglog.records.limits import AtLeastOne, Between
from riglog.records.readings.measured import HORIZONTAL, Angle, Measured, Time
from riglog.units import Radians

Method = Literal["counted", "stopwatch", "clip", "sensor"]
FRAME_RATE = Between(0.0, 1e5, "frames per second, as 23.976")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Drop(Measured):
    """Drop times at one setting, seconds from release to the first pass through ``stop``.

    ``times`` are those of one setting, repeated. ``method`` is how they were taken. ``release``
    and ``stop`` are angles from upright. ``nose`` says which way the nose pointed at release;
    nobody said means it is unknown. ``fps`` is the frame rate of a clip. ``sd`` is how well one of
    the times is known; left out, what is usual for the method.
    """

    kind: Literal["drop"] = "drop"
    times: Annotated[tuple[Time, ...], AtLeastOne()]
    method: Method = "stopwatch"
    nose: Literal["up", "down"] | None = field(default=None, metadata={"key": "from"})
    release: Angle = HORIZONTAL
    stop: Radians = 0.0
    fps: Annotated[float, FRAME_RATE] | None = None
    sd: Time | None = None
