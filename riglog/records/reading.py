"""Readings: what somebody measured on a build, one class a kind.

Each holds the words of its writer: ``settings`` are those that differed from where the rig stood.
Where the rig stood in full, and which version of the build it was, is added by the library when
the reading is recorded (``Stand``).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal, get_args

from riglog.records.build import Head, Setting
from riglog.records.limits import HALF_TURN, POSITIVE, AtLeastOne, Between, Id, Instant, Note, Place
from riglog.records.support import Length
from riglog.units import Kilograms, Meters, Radians, Seconds

Method = Literal["counted", "stopwatch", "clip", "sensor"]
HORIZONTAL = 1.5707963267948966
Time = Annotated[Seconds, POSITIVE]
Mass = Annotated[Kilograms, POSITIVE]
Angle = Annotated[Radians, HALF_TURN]
FRAME_RATE = Between(0.0, 1e5, "frames per second, as 23.976")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Measured:
    """What every reading has: the build, the day and hour, and where the rig stood.

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop(_Measured):
    """Drop times at one setting, seconds from release to the first pass through ``stop``.

    ``times`` are those of one setting, repeated. ``method`` is how they were taken. ``release``
    and ``stop`` are angles from upright. ``nose`` says which way the nose pointed at release;
    nobody said means it is unknown. ``fps`` is the frame rate of a clip.
    """

    kind: Literal["drop"] = "drop"
    times: Annotated[tuple[Time, ...], AtLeastOne()]
    method: Method = "stopwatch"
    nose: Literal["up", "down"] | None = field(default=None, metadata={"key": "from"})
    release: Angle = HORIZONTAL
    stop: Radians = 0.0
    fps: Annotated[float, FRAME_RATE] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight(_Measured):
    """Mass of the whole build as it hangs, all that its parts list, tilting or not."""

    kind: Literal["weight"] = "weight"
    mass: Mass
    sd: Mass | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BalancePoint(_Measured):
    """Where on the pivot's scale the build balances on an edge, laid horizontal: its neutral."""

    kind: Literal["balance-point"] = "balance-point"
    at: Meters
    sd: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HangsUpright(_Measured):
    """It hung upright, fore and aft, to within an angle."""

    kind: Literal["hangs-upright"] = "hangs-upright"
    within: Angle = 0.017453292519943295


@dataclass(frozen=True, slots=True, kw_only=True)
class Lean(_Measured):
    """How it hung: ``lean`` positive with the nose down, ``side`` positive with its right low.

    ``pan`` is where the rig was panned to in its gimbal when the lean was read.
    """

    kind: Literal["lean"] = "lean"
    lean: Radians | None = None
    side: Radians | None = None
    pan: Radians | None = None
    sd: Angle | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing(_Measured):
    """A number of full swings, the time they took, and the angles of the first and the last."""

    kind: Literal["swing"] = "swing"
    swings: Annotated[int, POSITIVE]
    time: Time
    start: Angle = field(metadata={"key": "from"})
    end: Angle | None = field(default=None, metadata={"key": "to"})


Reading = Drop | Weight | BalancePoint | HangsUpright | Lean | Swing
READING_KINDS: Mapping[str, type[Reading]] = {
    cls.__dataclass_fields__["kind"].default: cls for cls in get_args(Reading)
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where the rig stood when a reading was taken: the build's version and every setting.

    ``states`` and ``head`` are what was last said of them, by the build or by a reading of it.
    """

    version: str
    settings: Mapping[str, Setting]
    states: Mapping[str, str] = field(default_factory=dict)
    head: Head | None = None
