"""What `lens-table` answers with."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Evidence, Named, Warned
    from riglog.records import Adjuster


class Mark(NamedTuple):
    """Where the pivot goes for one drop time, as readings of its scale [m].

    ``to_m`` is not rounded, ``set_m`` is; the bounds are for the true position, without the error
    of setting it. ``first_m`` is the mark to start from, surely bottom heavy. ``beyond_m`` is how
    far it lies past the end of the travel, 0 within.
    """

    to_m: float
    set_m: float
    low_m: float
    high_m: float
    first_m: float
    beyond_m: float


class Slide(NamedTuple):
    """Where an adjuster that trims goes, as ``Mark`` has it."""

    name: str
    to_m: float
    set_m: float
    low_m: float
    high_m: float
    beyond_m: float


class LensRow(NamedTuple):
    """One lens on the build.

    ``marks`` has one for each drop time, None where no mark drops so soon. ``why`` says why the
    lens cannot go on at all; then there is nothing else. ``on`` says it is the one that is on.
    """

    lens: str
    on: bool
    why: str = ""
    mass_kg: float | None = None
    slides: Sequence[Slide] = ()
    marks: Sequence[Mark | None] = ()


class LensTableAnswer(NamedTuple):
    """The whole lens set on one build, for one or several drop times.

    ``scales`` has every adjuster that moves by its name, what sets the drop first. ``left_out``
    names what the words fitted and is not of the old part's kind.
    """

    named: Named
    old: str
    kind: str
    wanted_s: Sequence[float]
    scales: dict[str, Adjuster]
    rows: Sequence[LensRow]
    left_out: Sequence[str]
    evidence: Evidence
    cautions: Sequence[str] = ()
    warnings: Sequence[Warned] = ()
