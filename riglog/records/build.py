"""Builds: components on a rig, as a tree of parts, and where every adjuster stands."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from riglog.records.limits import POSITIVE, Id, Note, Place
from riglog.records.noun import Noun
from riglog.records.support import Axis, SpreadMeters, Vector
from riglog.units import Meters, Radians, Seconds

Head = Literal["level", "follow", "locked", "off"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Turn(Noun):
    """A turn about the part's datum, right-handed; what sits on the part turns with it."""

    about: Axis
    by: Radians


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class PivotPair(Noun):
    """The two side pivots of a ring rig; the tilt axis is their mean."""

    left: Meters
    right: Meters


Setting = Meters | PivotPair


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Part(Noun):
    """One component in a build, and what it sits on.

    ``on`` is a mount of the rig (``stage``) or of another part (``body-north.lens``). A part is
    known by ``name`` where one component type occurs twice, else by its component's id. ``offset``
    is in the axes of what it sits on; ``sd`` is how well that position is known. ``by`` names the
    mount of its own that it hangs by, such as a camera's top in low mode; left out, its datum.
    """

    component: Id
    on: Place
    offset: Vector | None = None
    turn: Turn | None = None
    by: Id | None = None
    sd: SpreadMeters | None = None
    name: Id | None = field(default=None, metadata={"key": "as"})

    @property
    def id(self) -> str:
        """What other parts and commands call it."""
        return self.name or self.component


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Build(Noun):
    """What hangs on a rig for a shot.

    ``mode`` is high with the camera above, low with the rig turned over. ``wanted_drop`` is the
    drop time it is set for. ``parts`` is the tree of what hangs on it. ``settings`` are scale
    readings by adjuster; a component's adjuster is ``part.adjuster``. ``also`` holds settings
    that the physics ignores. ``head`` is what the powered head does. ``states`` names the state
    of each part that has some. A part is listed after what it sits on or before it, as the writer
    likes.
    """

    id: Id
    rig: Id
    mode: Literal["high", "low"] = "high"
    wanted_drop: Annotated[Seconds, POSITIVE] | None = None
    parts: tuple[Part, ...] = ()
    settings: Mapping[Place, Setting] = field(default_factory=dict)
    also: Mapping[str, str] = field(default_factory=dict)
    head: Head | None = None
    states: Mapping[Id, Id] = field(default_factory=dict)
    tags: tuple[str, ...] = ()
    note: Note = ""

    def part(self, name: str) -> Part:
        """The part of that name.

        Raises
        ------
        KeyError
            If the build has none.
        """
        for part in self.parts:
            if part.id == name:
                return part
        raise KeyError(name)
