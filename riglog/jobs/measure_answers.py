"""What measurements of one component, or of the whole rig on a scale, are answered with."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.estimation.interval import TWO_SIDED
from riglog.jobs.answers import Value

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Warned


class Figure(NamedTuple):
    """A figure with one standard deviation, in SI."""

    value: float
    sd: float

    @property
    def between(self) -> Value:
        """The figure with its 95 % bounds."""
        within = TWO_SIDED * self.sd
        return Value(self.value, self.value - within, self.value + within)


class Known(NamedTuple):
    """A figure before a measurement and after it; ``surprise`` in standard deviations.

    ``before`` is None where nobody had stated or measured it, and the surprise too.
    """

    before: Figure | None
    measured: Figure | None
    now: Figure | None
    surprise: float | None


class Weighed(NamedTuple):
    """One weighing: when, by whom, on which scale or by what means, and what it tells [kg]."""

    on: str
    author: str
    by: str | None
    mass: Figure


class WeighAnswer(NamedTuple):
    """The mass of a component [kg]; ``entry`` is empty where nothing was recorded.

    ``unit`` is what the rigs that it may go on are engraved in.
    """

    component: str
    entry: str
    known: Known
    weighings: Sequence[Weighed]
    warnings: Sequence[Warned]
    unit: str = "mm"


class WholeAnswer(NamedTuple):
    """A whole build on a scale against the sum of its parts [kg].

    ``tolerance_kg`` is how far the two may lie apart, in 95 %; ``unweighed`` the parts whose mass
    nobody stated or measured, ``unlisted`` says that a lump stands for what nobody listed. ``unit``
    is what the rig is engraved in.
    """

    build: str
    version: int
    entry: str
    measured: Figure
    summed: Figure
    tolerance_kg: float
    unweighed: Sequence[str]
    unlisted: bool
    warnings: Sequence[Warned]
    unit: str = "mm"


class CgAnswer(NamedTuple):
    """Center of gravity of a component along one axis [m], from its own datum."""

    component: str
    entry: str
    along: str
    how: str
    known: Known
    warnings: Sequence[Warned]


class InertiaAnswer(NamedTuple):
    """Moment of inertia of a component about an axis through its center of gravity [kg m^2].

    ``guessed`` is what shape and size say.
    """

    component: str
    entry: str
    about: str
    how: str
    period_s: float
    measured: Figure
    guessed: Figure
    now: Figure
    warnings: Sequence[Warned]
