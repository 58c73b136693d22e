"""What every reading has."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from riglog.records.build import Head, Setting
from riglog.records.limits import HALF_TURN, POSITIVE, Id, Instant, Note, Place
from riglog.units import Kilograms, Radians, Seconds

HORIZONTAL = 1.5707963267948966
Time = Annotated[Seconds, POSITIVE]
Mass = Annotated[Kilograms, POSITIVE]
Angle = Annotated[Radians, HALF_TURN]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The build, the day and hour, and where the rig stood, in the words of whoever wrote it down.

    ``on`` is when it was taken. ``settings`` are those that differed from where the rig stood.
    ``head`` is what the powered head did. ``states`` names the state of each part that has some.
    """

    build: Id
    on: Instant
    settings: Mapping[Place, Setting] = field(default_factory=dict)
    head: Head | None = None
    states: Mapping[Id, Id] = field(default_factory=dict)
    tags: tuple[str, ...] = ()
    note: Note = ""
