"""What every reading has."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Literal

from riglog.records.build import Head, Setting
from riglog.records.limits import HALF_TURN, POSITIVE, Id, Instant, Note, Place
from riglog.records.noun import Noun
from riglog.units import Kilograms, Radians, Seconds

HORIZONTAL = 1.5707963267948966
Time = Annotated[Seconds, POSITIVE]
Mass = Annotated[Kilograms, POSITIVE]
Angle = Annotated[Radians, HALF_TURN]
Condition = Literal["tether", "wind", "rain-cover"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Measured(Noun):
    """The build, the day and hour, and where the rig stood, in the words of whoever wrote it down.

    ``on`` is when it was taken. ``settings`` are those that differed from where the rig stood.
    ``head`` is what the powered head did. ``states`` names the state of each part that has some.
    ``conditions`` keep a reading on record and out of every estimate: a tether pulls, wind pushes,
    a rain cover weighs and drags unless the build lists a part of kind cover.
    """

    build: Id
    on: Instant
    settings: Mapping[Place, Setting] = field(default_factory=dict)
    head: Head | None = None
    states: Mapping[Id, Id] = field(default_factory=dict)
    conditions: tuple[Condition, ...] = ()
    tags: tuple[str, ...] = ()
    note: Note = ""


def mean_s(times_s: Sequence[float]) -> float:
    """Mean of times [s] that somebody wrote down: a sum of decimals is a hair off."""
    return round(sum(times_s) / len(times_s), 6)  # statistics costs 9 ms
