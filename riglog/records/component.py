"""Components: cameras, lenses, batteries, posts and all else that has mass."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from riglog.records.limits import NOT_NEGATIVE, POSITIVE, Day, Id, InertiaTensor, Note
from riglog.records.noun import Noun
from riglog.records.support import Adjuster, Length, Mount, SpreadMeters, Vector
from riglog.units import KilogramMetersSquared, Kilograms, Ratio

Kind = Literal[
    "camera", "lens", "matte-box", "filter", "battery", "media", "monitor", "motor",
    "transmitter", "receiver", "light", "plate", "dovetail", "rods", "bracket", "adapter",
    "post", "gimbal", "stage", "frame", "head", "trim-weight", "cover", "cable", "other",
]  # fmt: skip
Shape = Literal["box", "cylinder-x", "cylinder-y", "cylinder-z", "point"]
Figure = Literal["mass", "cg", "inertia"]
Source = Literal["bench scale", "luggage scale", "maker's sheet", "guess"]
Share = Annotated[Ratio, NOT_NEGATIVE]
Tensor = Annotated[
    tuple[
        KilogramMetersSquared, KilogramMetersSquared, KilogramMetersSquared,
        KilogramMetersSquared, KilogramMetersSquared, KilogramMetersSquared,
    ],
    InertiaTensor(),
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class State(Noun):
    """A way to set a component that moves its center of gravity: a zoom at its long end."""

    cg: Vector
    cg_sd: SpreadMeters | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Spread(Noun):
    """How far two units of one type differ, one standard deviation of each."""

    mass: Share = 0.005
    cg: SpreadMeters = 0.002
    inertia: Share = 0.03


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Component(Noun):
    """A thing with mass, in its own frame: from its own datum, along the rig's axes.

    ``mass`` left out means nobody weighed it: a prior by kind stands in. ``mass_sd`` is how well
    the mass is known; ``by`` says how it was obtained, and stands for that. ``size`` is fore-aft,
    across, tall. ``cg`` left out means half the height above the datum, and for a lens, matte box
    or filter half the length ahead of it. ``cg_sd`` is how well the center of gravity is known,
    per axis. ``inertia`` is the tensor about the center of gravity as
    ``(xx, yy, zz, xy, xz, yz)``, its last three the tensor's off-diagonal elements; left out, it
    follows from shape and size. ``mounts`` are the places on it that other parts sit on.
    ``adjusters`` are slides of its own, such as a dovetail plate's. ``states`` override its
    center of gravity, as a zoom's long end does. ``like`` names the type whose figures this unit
    takes over where it states none. ``spread`` is how far it may lie from that type.
    ``modified`` is the day from which it is another thing: readings before that day tell nothing
    about it.
    """

    id: Id
    kind: Kind = "other"
    mass: Annotated[Kilograms, POSITIVE] | None = None
    mass_sd: Annotated[Kilograms, NOT_NEGATIVE] | None = None
    by: Source | None = None
    size: tuple[Length, Length, Length] | None = None
    shape: Shape = "box"
    inertia: Tensor | None = None
    cg: Vector | None = None
    cg_sd: SpreadMeters | None = None
    mounts: Mapping[Id, Mount] = field(default_factory=dict)
    adjusters: tuple[Adjuster, ...] = ()
    states: Mapping[Id, State] = field(default_factory=dict)
    like: Id | None = None
    spread: Spread | None = None
    modified: Day | None = None
    serial: str | None = None
    tags: tuple[str, ...] = ()
    note: Note = ""

    def states_own(self, figure: Figure) -> bool:
        """Whether it states a figure itself, and does not take over that of its type."""
        if figure == "inertia":
            return self.inertia is not None or self.size is not None
        return (self.mass if figure == "mass" else self.cg) is not None
