"""What holds a part: mounts, and the adjusters that move them."""

from dataclasses import dataclass
from math import cos, sin
from typing import Annotated, Literal

from riglog.records.limits import NOT_NEGATIVE, POSITIVE, Ascending, Id
from riglog.records.noun import Noun
from riglog.units import Meters, Radians

Vector = tuple[Meters, Meters, Meters]
Length = Annotated[Meters, POSITIVE]
# Nothing is a spread too: a rig's datum is exact by definition.
SpreadMeters = Annotated[Meters, NOT_NEGATIVE]
Axis = Literal["x", "y", "z"]
# Where a post or guides lean by more than 60 degrees, the pivot goes sideways more than up.
MOST_LEAN = 1.0471975511965976


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Scale(Noun):
    """How the figures on an adjuster's scale run: position = zero + reading, or zero - reading."""

    zero: Meters = 0.0
    reads: Literal["up", "down"] = "up"

    def position(self, reading_m: float) -> float:
        """Position along the axis [m] at which the scale shows ``reading_m``."""
        return self.zero + reading_m if self.reads == "up" else self.zero - reading_m

    def reading(self, position_m: float) -> float:
        """What the scale shows [m] at a position along the axis."""
        return position_m - self.zero if self.reads == "up" else self.zero - position_m

    @property
    def sign(self) -> float:
        """Change of position per unit of reading: 1 or -1."""
        return 1.0 if self.reads == "up" else -1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Adjuster(Noun):
    """A slide that a hand moves and a scale tells: the pivot, a stage, a base, a dovetail plate.

    ``travel`` and every setting are readings of the scale. ``step`` is the finest that the scale
    can be set to; a setting is taken to be that uncertain. ``unit`` is what is engraved on it.
    ``lean`` is that of the post or guides that a pivot slides along: positive with the top forward,
    as a positive lean of the rig has its top.
    """

    id: Id
    axis: Axis
    lean: Radians = 0.0
    travel: Annotated[tuple[Meters, Meters], Ascending()] | None = None
    step: Length = 0.001
    scale: Scale = Scale()
    unit: Literal["mm", "cm", "in"] = "mm"

    @property
    def way(self) -> tuple[float, float, float]:
        """Unit vector along which it moves as its position grows, in the axes of its owner."""
        if self.axis == "z":
            return sin(self.lean), 0.0, cos(self.lean)
        return (1.0, 0.0, 0.0) if self.axis == "x" else (0.0, 1.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Mount(Noun):
    """A named place that a part sits on.

    It stands at ``at`` in the axes of its owner, plus the position of each adjuster in
    ``moved_by`` along that adjuster's axis. What sits on a mount with ``tilts: false`` counts for
    the load and not for the drop. ``levels`` marks a powered head. ``sd`` is how well ``at`` is
    known, per axis; left out, 1 mm.
    """

    at: Vector
    moved_by: tuple[Id, ...] = ()
    sd: SpreadMeters | None = None
    tilts: bool = True
    levels: bool = False
