"""`cg`: the center of gravity of a component, from an edge or from what supports carry."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError
from riglog.estimation.measured import known_center
from riglog.estimation.priors import CG_SD_M, figures, mass_sd, together
from riglog.jobs.answers import Warned
from riglog.jobs.dated import odd_date
from riglog.jobs.measure_answers import CgAnswer, Figure, Known
from riglog.jobs.measured_words import (
    axis_of,
    circumstances,
    component_named,
    distance_of,
    length_of,
    mass_of,
)
from riglog.jobs.scale_doubts import SURPRISING
from riglog.library.measuring import known_of, record_measurement
from riglog.logbook.entry import now
from riglog.mechanics.readings import sd_of_step, sd_within
from riglog.mechanics.weighing import Center, center_on_supports
from riglog.records.measurements import CenterOfGravity

if TYPE_CHECKING:
    from riglog.estimation.measured import Measured
    from riglog.library import Library
    from riglog.library.measuring import Found
    from riglog.records import Component
    from riglog.records.support import Axis

# A ruler laid against an edge, and a support under a soft foot [m].
RULER_SD_M = 0.001
# What two supports tell is of no use where it is worse than this [m].
WORST_SD_M = 2 * CG_SD_M
# Closer than this their distance is known worse than to one part in twenty.
LEAST_APART_M = 0.03
_AXES = ("x", "y", "z")


class CgQuestion(NamedTuple):
    """A balance in words: texts in, None where nobody said.

    ``edge`` is the ruler's reading where it balances on an edge, ``datum`` that of its datum.
    ``supports`` is how far two supports are apart, ``front`` and ``rear`` what each carries,
    ``rear_at`` where the rear one stands from the datum. ``axis`` is the one along which it lies.
    """

    component: str
    axis: str = "x"
    edge: str | None = None
    datum: str | None = None
    supports: str | None = None
    front: str | None = None
    rear: str | None = None
    rear_at: str | None = None
    scale: str | None = None
    sd: str | None = None
    on: str | None = None
    note: str | None = None


class Located(NamedTuple):
    """A center and how it was found, in words."""

    center: Center
    how: str


def cg(library: Library, question: CgQuestion) -> CgAnswer:
    """Record a center of gravity along one axis and tell what is known of it now.

    Raises
    ------
    CallError
        If the words are wrong, or the supports stand too close to tell anything.
    NotFoundError, AmbiguousError
        If they name no component or scale, or several.
    """
    name, axis = component_named(library, question.component), axis_of(question.axis)
    component, before = library.component(name), known_of(library.logbook, name)
    found = _found(library, question, component, before)
    sd = distance_of(question.sd, "the spread") if question.sd else found.center.sd_m
    told = CenterOfGravity(
        component=name,
        along=axis,
        at=found.center.at_m,
        sd=sd,
        how=found.how,
        **circumstances(question.on, question.note),
    )
    with library.logbook.writing() as log:
        entry = record_measurement(log, told, library.author).entry
    after = known_of(library.logbook, name)
    known = _known(component, axis, told, before.measured, after.measured)
    warnings = [*_warnings(name, known), *odd_date(told.on, now())]
    return CgAnswer(name, entry, axis, found.how, known, warnings)


def _found(library: Library, question: CgQuestion, component: Component, before: Found) -> Located:
    if (question.edge is None) == (question.supports is None):
        hint = "as in: --edge 62mm --datum 0mm, or --supports 300mm --front 1.22kg --rear 0.87kg"
        raise CallError("say where it balances on an edge, or what two supports carry", hint=hint)
    if question.edge is not None:
        datum = question.datum or "0mm"
        at = length_of(question.edge) - length_of(datum)
        how = f"edge at {question.edge}, datum at {datum}"
        return Located(Center(at, hypot(RULER_SD_M, RULER_SD_M)), how)
    return _on_supports(library, question, component, before)


def _on_supports(
    library: Library, question: CgQuestion, component: Component, before: Found
) -> Located:
    apart = distance_of(question.supports or "", "the distance")
    if apart < LEAST_APART_M:
        message = f"supports {question.supports} apart stand closer than a ruler can tell"
        raise CallError(message, hint="set them at least 30 mm apart")
    rear_at = question.rear_at or "0mm"
    front, rear, sd = _carried(library, question, component, before)
    center = center_on_supports(front, rear, apart, sd_kg=sd, sd_m=RULER_SD_M)
    if center.sd_m > WORST_SD_M:
        message = f"supports {question.supports} apart tell it to {1e3 * center.sd_m:.0f} mm only"
        raise CallError(message, hint="set them further apart, or use a finer scale")
    told = [f"{side} {text}" for side, text in _sides(question)]
    how = f"supports {question.supports} apart, {', '.join(told)}, rear one at {rear_at}"
    return Located(Center(length_of(rear_at) + center.at_m, center.sd_m), how)


def _sides(question: CgQuestion) -> list[tuple[str, str]]:
    sides = (("front", question.front), ("rear", question.rear))
    return [(side, text) for side, text in sides if text is not None]


def _carried(
    library: Library, question: CgQuestion, component: Component, before: Found
) -> tuple[float, float, float]:
    """What the front and the rear support carry [kg], and the standard deviation of each."""
    told = {side: mass_of(text, f"{side} mass") for side, text in _sides(question)}
    if not told:
        raise CallError("no support's mass is given", hint="add --front 1.22kg, --rear, or both")
    sd = _scale_sd(library, question.scale, max(told.values()))
    if len(told) == 2:
        return told["front"], told["rear"], sd
    if not before.weighings:
        hint = "weigh it first, or put a scale under both supports"
        raise CallError(f"the mass of {component.id} is not known", hint=hint)
    ((side, carried),) = told.items()
    rest = together(before.weighings).value - carried
    if rest < 0:
        message = f"one support carries more than {component.id} weighs"
        raise CallError(message, hint="read the scale again")
    return (carried, rest, sd) if side == "front" else (rest, carried, sd)


def _scale_sd(library: Library, scale: str | None, mass_kg: float) -> float:
    """Standard deviation [kg] of what one support's scale shows."""
    if scale is None:
        return mass_sd(mass_kg, None, None)
    from riglog.records import from_body
    from riglog.records.weighing_scale import WeighingScale

    head = library.version(scale, "scale").entry
    listed = from_body(WeighingScale, head.body)
    return hypot(float(sd_of_step(listed.resolution)), float(sd_within(listed.linearity)))


def _known(
    component: Component, axis: Axis, told: CenterOfGravity, before: Measured, after: Measured
) -> Known:
    index, stated = _AXES.index(axis), figures(component)
    (at, sd), (now, now_sd) = (
        tuple(each[index] for each in known_center(component, stated, facts))
        for facts in (before, after)
    )
    measured_before = any(each.along == axis for each in before.centers)
    if component.cg is None and not measured_before:
        return Known(None, Figure(told.at, told.sd), Figure(now, now_sd), None)
    surprise = (told.at - at) / hypot(told.sd, sd)
    return Known(Figure(at, sd), Figure(told.at, told.sd), Figure(now, now_sd), surprise)


def _warnings(name: str, known: Known) -> list[Warned]:
    if known.surprise is None or abs(known.surprise) <= SURPRISING:
        return []
    assert known.before is not None
    assert known.measured is not None
    off = known.measured.value - known.before.value
    return [Warned("center_unlike_before", name, off, known.surprise)]
