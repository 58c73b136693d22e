"""Swings that die away."""

from dataclasses import dataclass, field
from typing import Annotated, Literal

from riglog.records.limits import POSITIVE
from riglog.records.readings.measured import Angle, Measured, Time


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Swing(Measured):
    """A number of full swings, the time they took, and the angles of the first and the last."""

    kind: Literal["swing"] = "swing"
    swings: Annotated[int, POSITIVE]
    time: Time
    start: Angle = field(metadata={"key": "from"})
    end: Angle | None = field(default=None, metadata={"key": "to"})
