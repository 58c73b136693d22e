"""Drop tests."""

from dataclasses import dataclass, field
from typing import Annotated, Literal

from riglog.records.limits import AtLeastOne, Between
from riglog.records.readings.measured import HORIZONTAL, Angle, Measured, Time
from riglog.units import Radians

Method = Literal["counted", "stopwatch", "clip", "sensor"]
TimedTo = Literal["upright", "far-side"]
FRAME_RATE = Between(0.0, 1e5, "frames per second, as 23.976")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Drop(Measured):
    """Drop times at one setting, seconds from release to the first pass through ``stop``.

    ``times`` are those of one setting, repeated. ``method`` is how they were taken. ``release``
    and ``stop`` are angles from upright. ``nose`` says which way the nose pointed at release;
    nobody said means it is unknown. ``fps`` is the frame rate of a clip. ``sd`` is how well one of
    the times is known; left out, what is usual for the method. ``timed_to`` says whether the watch
    was stopped at upright, or only when it turned at the far side, which takes twice as long.
    """

    kind: Literal["drop"] = "drop"
    times: Annotated[tuple[Time, ...], AtLeastOne()]
    method: Method = "stopwatch"
    nose: Literal["up", "down"] | None = field(default=None, metadata={"key": "from"})
    release: Angle = HORIZONTAL
    stop: Radians = 0.0
    fps: Annotated[float, FRAME_RATE] | None = None
    sd: Time | None = None
    timed_to: TimedTo = "upright"

    @property
    def share(self) -> float:
        """Share of what was timed up to the first pass; a swing is alike on both sides."""
        return 0.5 if self.timed_to == "far-side" else 1.0

    @property
    def to_upright(self) -> tuple[float, ...]:
        """Times [s] from release to the first pass."""
        return tuple(time * self.share for time in self.times)
