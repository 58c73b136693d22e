"""`weigh`: a component or a whole rig on a scale."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, quoted
from riglog.estimation.priors import disputed, together
from riglog.jobs.answers import Warned
from riglog.jobs.dated import odd_date
from riglog.jobs.measure_answers import Figure, Known, WeighAnswer, Weighed
from riglog.jobs.measured_words import circumstances, mass_of, source_of
from riglog.jobs.scale_doubts import SURPRISING, scale_warnings
from riglog.jobs.weigh_whole import weigh_whole
from riglog.library.adjusters import engraved
from riglog.library.measuring import known_of, record_measurement, scale_of, weighed
from riglog.logbook.entry import now as clock
from riglog.records.measurements import Weighing

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.kit import Weighing as Told
    from riglog.jobs.measure_answers import WholeAnswer
    from riglog.library import Library

    Weighings = Sequence[Told]


class WeighQuestion(NamedTuple):
    """A weighing in words: texts in, None or nothing where nobody said.

    ``thing`` is a component or a build, ``shown`` what the scale showed, ``without`` what it
    showed without the thing, ``scale`` the id of a listed scale, ``by`` the sort of source, ``sd``
    how well the mass is known.
    """

    thing: str
    shown: tuple[str, ...] = ()
    without: str | None = None
    scale: str | None = None
    by: str | None = None
    sd: str | None = None
    on: str | None = None
    note: str | None = None


def weigh(library: Library, question: WeighQuestion) -> WeighAnswer | WholeAnswer:
    """Record a weighing and tell what is known now; without masses, tell only that.

    Raises
    ------
    CallError
        If the words are wrong.
    NotFoundError, AmbiguousError
        If they do not name one component or build, or one scale.
    """
    thing = library.resolve(None, question.thing)
    kind = library.logbook.kind_of(thing)
    if kind == "build":
        return _of_build(library, thing, question)
    if kind != "component":
        raise CallError(f"{thing} is a {kind}", hint="weigh a component or a build")
    before = known_of(library.logbook, thing).weighings
    if not question.shown:
        return _answer(library, thing, before, None, "")
    weighing = _weighing(library, thing, question)
    with library.logbook.writing() as log:
        entry = record_measurement(log, weighing, library.author).entry
    return _answer(library, thing, before, weighing, entry)


def _weighing(library: Library, component: str, question: WeighQuestion) -> Weighing:
    shown = tuple(mass_of(text) for text in question.shown)
    without = mass_of(question.without) if question.without else 0.0
    if min(shown) <= without:
        message = f"{component} would weigh nothing: {quoted(question.without or '')} is as much"
        raise CallError(message, hint="--without takes what the scale shows without it")
    return Weighing(
        component=component,
        shown=shown,
        without=without,
        scale=library.resolve("scale", question.scale) if question.scale else None,
        by=source_of(question.by),
        sd=mass_of(question.sd, "spread") if question.sd else None,
        **circumstances(question.on, question.note),
    )


def _answer(
    library: Library, name: str, before: Weighings, new: Weighing | None, entry: str
) -> WeighAnswer:
    now = known_of(library.logbook, name).weighings
    scale = scale_of(library.logbook, new.scale, {}) if new else None
    told = weighed(new, scale) if new else None
    known = _known(before, told, now)
    lines = [
        Weighed(each.at, each.author, each.by, Figure(each.mass_kg, each.sd_kg)) for each in now
    ]
    warnings = list(_warnings(name, known, now))
    if new:
        warnings += odd_date(new.on, clock())
    if new and scale:
        warnings += scale_warnings(scale, new.on, library.logbook)
    return WeighAnswer(name, entry, known, lines, warnings, engraved(library))


def _known(before: Weighings, told: Told | None, now: Weighings) -> Known:
    then = _together(before)
    figure = Figure(told.mass_kg, told.sd_kg) if told else None
    surprise = None
    if figure and then:
        surprise = (figure.value - then.value) / hypot(figure.sd, then.sd)
    return Known(then, figure, _together(now), surprise)


def _together(weighings: Weighings) -> Figure | None:
    if not weighings:
        return None
    found = together(weighings)
    return Figure(found.value, found.sd)


def _warnings(name: str, known: Known, now: Weighings) -> Iterator[Warned]:
    if known.surprise is not None and abs(known.surprise) > SURPRISING:
        assert known.before is not None
        assert known.measured is not None
        off = known.measured.value - known.before.value
        yield Warned("unlike_before", name, off, known.surprise)
    elif disputed(now):
        yield Warned("weighings_disagree", name, together(now).birge)


def _of_build(library: Library, build: str, question: WeighQuestion) -> WholeAnswer:
    if not question.shown:
        raise CallError(f"no mass of {build} is given", hint=f"as in: riglog weigh {build} 17.2kg")
    return weigh_whole(library, build, _weighing(library, build, question))
