"""Measurements: what somebody found out about one component by itself, one class a kind.

Several of one figure are several measurements of the same thing; the estimate takes them all.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal, get_args

from riglog.records.component import Source
from riglog.records.limits import NOT_NEGATIVE, POSITIVE, AtLeastOne, Id, Instant, Note
from riglog.records.noun import Noun
from riglog.records.support import Axis, Length
from riglog.units import KilogramMetersSquared, Kilograms, Meters

Mass = Annotated[Kilograms, POSITIVE]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class _OfComponent(Noun):
    """What every measurement has: the component, and the day and hour.

    ``on`` is when it was taken. ``how`` tells the figures that it was computed from.
    """

    component: Id
    on: Instant
    how: str = ""
    tags: tuple[str, ...] = ()
    note: Note = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Weighing(_OfComponent):
    """A component on a scale, once or several times.

    ``shown`` is what the scale showed, ``without`` what it showed with everything but the
    component on it: an empty case, or the rig that it was taken off. ``scale`` is the scale that
    it was weighed on; ``by`` the sort of source, where that scale is not listed. ``sd`` is how
    well the mass is known, where somebody knows that better.
    """

    kind: Literal["weighing"] = "weighing"
    shown: Annotated[tuple[Mass, ...], AtLeastOne()]
    without: Annotated[Kilograms, NOT_NEGATIVE] = 0.0
    scale: Id | None = None
    by: Source | None = None
    sd: Mass | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class CenterOfGravity(_OfComponent):
    """Where a component balances along one axis, from its own datum, and how well that is known."""

    kind: Literal["center"] = "center"
    along: Axis
    at: Meters
    sd: Length


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Inertia(_OfComponent):
    """Moment of inertia about an axis through the center of gravity, and how well it is known."""

    kind: Literal["inertia"] = "inertia"
    about: Axis
    moment: Annotated[KilogramMetersSquared, POSITIVE]
    sd: Annotated[KilogramMetersSquared, POSITIVE]


Measurement = Weighing | CenterOfGravity | Inertia
MEASUREMENT_KINDS: Mapping[str, type[Measurement]] = {
    cls.__dataclass_fields__["kind"].default: cls for cls in get_args(Measurement)
}
