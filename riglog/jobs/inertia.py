"""`inertia`: the moment of inertia of a component, by letting it swing."""

from __future__ import annotations

from math import exp
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, quoted
from riglog.estimation.measured import informed
from riglog.estimation.priors import figures, inherit, together
from riglog.jobs.answers import Warned
from riglog.jobs.dated import odd_date
from riglog.jobs.measure_answers import Figure, InertiaAnswer
from riglog.jobs.measured_words import axis_of, circumstances, component_named, distance_of
from riglog.library.measuring import known_of, record_measurement
from riglog.logbook.entry import now as clock
from riglog.mechanics.arrays import STANDARD_GRAVITY
from riglog.mechanics.weighing import inertia_by_swinging
from riglog.records.measurements import Inertia
from riglog.units import SECOND, parse_loose

if TYPE_CHECKING:
    from riglog.estimation.priors import Figures
    from riglog.library import Library
    from riglog.library.measuring import Found
    from riglog.records import Component

# A hand on a stopwatch at both ends of the count [s], a ruler along the body [m].
STOPWATCH_SD_S, RULER_SD_M = 0.14, 0.0015
FEWEST, MOST = 3, 1000
SURPRISING = 3.0
_AXES = ("x", "y", "z")


class InertiaQuestion(NamedTuple):
    """Small swings in words: how many, in what time, hung how far from the center of gravity."""

    component: str
    swings: int
    time: str
    hung: str
    about: str = "y"
    on: str | None = None
    note: str | None = None


def inertia(library: Library, question: InertiaQuestion) -> InertiaAnswer:
    """Record a moment of inertia and tell what is known of it now.

    Raises
    ------
    CallError
        If the words are wrong, the mass is not known, or nothing swings so.
    NotFoundError, AmbiguousError
        If they name no component, or several.
    """
    name, about = component_named(library, question.component), axis_of(question.about)
    component, before = _shaped(library, name), known_of(library.logbook, name)
    period = _period(question)
    moment = _moment(component, before, question, period)
    how = f"{question.swings} swings in {question.time}, hung {question.hung} off"
    told = Inertia(
        component=name,
        about=about,
        moment=moment.value,
        sd=moment.sd,
        how=how,
        **circumstances(question.on, question.note),
    )
    with library.logbook.writing() as log:
        entry = record_measurement(log, told, library.author).entry
    guessed, now = (
        _about(informed(component, figures(component, each.weighings), each.measured), about)
        for each in (before, known_of(library.logbook, name))
    )
    warnings = [*_warnings(name, moment, guessed), *odd_date(told.on, clock())]
    return InertiaAnswer(name, entry, about, how, period, moment, guessed, now, warnings)


def _shaped(library: Library, name: str) -> Component:
    """A component with the shape and size of what it is like."""
    own = library.component(name)
    return own if own.like is None else inherit(own, _shaped(library, own.like))


def _period(question: InertiaQuestion) -> float:
    if not FEWEST <= question.swings <= MOST:
        message = f"{question.swings} swings tell no period"
        raise CallError(message, hint=f"count {FEWEST} to {MOST} full swings, there and back")
    time = parse_loose(question.time, SECOND, "s")
    if time <= 0:
        raise CallError(f"{quoted(question.time)} is no time", hint="such as 11.2s")
    return time / question.swings


def _moment(
    component: Component, before: Found, question: InertiaQuestion, period_s: float
) -> Figure:
    if not before.weighings:
        hint = f"weigh it first: riglog weigh {component.id} 1.2kg"
        raise CallError(f"the mass of {component.id} is not known", hint=hint)
    mass = together(before.weighings)
    hung = distance_of(question.hung, "the distance")
    sds = (mass.sd, RULER_SD_M, STOPWATCH_SD_S / question.swings)
    try:
        swung = inertia_by_swinging(
            mass.value, hung, period_s, gravity_m_s2=STANDARD_GRAVITY, sds=sds
        )
    except ValueError as error:
        message = f"nothing hung {question.hung} from its center swings once in {period_s:.2f} s"
        hint = "count full swings, there and back, and measure from the axis to the center"
        raise CallError(message, hint=hint) from error
    return Figure(swung.moment_kg_m2, swung.sd_kg_m2)


def _about(known: Figures, axis: str) -> Figure:
    index = _AXES.index(axis)
    value = exp(known.log_mass) * float(known.inertia_m2[index, index])
    return Figure(value, value * known.log_inertia_sd)


def _warnings(name: str, moment: Figure, guessed: Figure) -> list[Warned]:
    surprise = (moment.value - guessed.value) / (moment.sd**2 + guessed.sd**2) ** 0.5
    if abs(surprise) <= SURPRISING:
        return []
    return [Warned("inertia_unlike_shape", name, moment.value / guessed.value, surprise)]
