"""Scales that things are weighed on."""

from dataclasses import dataclass
from typing import Annotated

from riglog.records.limits import NOT_NEGATIVE, POSITIVE, Day, Id, Note
from riglog.records.noun import Noun
from riglog.units import Kilograms


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class WeighingScale(Noun):
    """A scale that things are weighed on.

    ``resolution`` is the step of its display. ``linearity`` is how far it may be off anywhere in
    its range, as its maker states it. ``checked`` is the day on which it was last held against a
    reference mass, ``reference`` that mass, and ``showed`` what the scale showed for it.
    """

    id: Id
    resolution: Annotated[Kilograms, POSITIVE]
    linearity: Annotated[Kilograms, NOT_NEGATIVE] = 0.0
    checked: Day | None = None
    reference: Annotated[Kilograms, POSITIVE] | None = None
    showed: Annotated[Kilograms, POSITIVE] | None = None
    serial: str | None = None
    tags: tuple[str, ...] = ()
    note: Note = ""
