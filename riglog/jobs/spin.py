"""`spin`: record what the lens end did in a steady pan, and what that says of the axis."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal, NamedTuple

from riglog.errors import CallError, quoted
from riglog.estimation.claims import pan_rate
from riglog.estimation.inference import Inference
from riglog.jobs.answers import Warned
from riglog.jobs.common import named
from riglog.jobs.dated import odd_date
from riglog.jobs.evidence import evidence_of
from riglog.jobs.level import is_known, level, panned
from riglog.jobs.trim_answers import SpinAnswer
from riglog.library.adjusters import checked_mark
from riglog.library.clock import instant
from riglog.library.evidence import kit_for
from riglog.logbook.entry import now
from riglog.records import Spin
from riglog.records.readings.spin import TURNS
from riglog.units import SECOND, parse_loose

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.kit import Hung
    from riglog.library import Library

# No pan lasts longer [s].
_LONGEST_S = 600.0


class SpinQuestion(NamedTuple):
    """A pan as typed."""

    build: str | None
    lens_end: str
    turns: str
    time: str
    mark: str | None = None
    on: str | None = None
    note: str | None = None


def spin(library: Library, question: SpinQuestion) -> SpinAnswer:
    """Record the pan first, then answer.

    Raises
    ------
    CallError
        If a word of it is wrong; then nothing is recorded.
    """
    on = now() if question.on is None else instant(question.on)
    standing = library.standing(question.build, on)
    reading = _reading(question, standing.build.id, on)
    hung = standing.hung(on[:10])
    if question.mark is not None:
        rig = library.rig(standing.build.rig)
        settings = {"pivot": checked_mark(rig.adjuster("pivot"), question.mark, rig.type)}
        reading = replace(reading, settings=settings)
        hung = hung._replace(settings={**hung.settings, **settings})
    before = _hanging(library, hung)
    recorded = library.record_reading(reading, version=standing.entry).entry
    after = _hanging(library, hung)
    rate = pan_rate(reading)
    was, told = (level(each, each.positions_m) for each in (before, after))
    return SpinAnswer(
        named=named(standing, after),
        pivot=after.tree.scales[after.tree.pivot],
        recorded=recorded,
        lens_end=reading.lens_end,
        rate_rad_s=rate,
        expected_rad=panned(before, before.positions_m, rate).lean_rad,
        critical_rad_s=told.critical_rad_s,
        tilt_before_rad=was.tilt_rad,
        tilt_rad=told.tilt_rad,
        evidence=evidence_of(after),
        warnings=(*_warnings(after, rate, told.critical_rad_s), *odd_date(on, now())),
    )


def _warnings(after: Hanging, rate: float, critical_rad_s: float | None) -> list[Warned]:
    found = [] if is_known(after) else [Warned("tilt_unlisted")]
    if critical_rad_s is not None and rate < critical_rad_s:
        found.append(Warned("slow_pan", figure=rate, other=critical_rad_s))
    return found


def _hanging(library: Library, hung: Hung) -> Hanging:
    return Inference(kit_for(library.logbook, [hung], []), [hung]).stands[0]


def _reading(question: SpinQuestion, build: str, on: str) -> Spin:
    time = parse_loose(question.time, SECOND, "s")
    if not 0 < time <= _LONGEST_S:
        hint = "it takes more than 0 and at most 600 s"
        raise CallError(f"{quoted(question.time)} is no time for a pan", hint=hint)
    note = ""
    if question.note:
        from riglog.interchange.forms import note as checked  # few have one

        note = checked(question.note)
    return Spin(
        build=build, on=on, lens_end=_lens_end(question.lens_end), turns=_turns(question.turns),
        time=time, note=note,
    )  # fmt: skip


def _lens_end(text: str) -> Literal["dips", "rises", "flat"]:
    if text == "dips":
        return "dips"
    if text == "rises":
        return "rises"
    if text == "flat":
        return "flat"
    raise CallError(f"the lens end does not {quoted(text)}", hint="it dips, rises or stays flat")


def _turns(text: str) -> float:
    from riglog.interchange.forms import figure

    turns = figure(text)
    fault = TURNS.fault(turns)
    if fault:
        raise CallError(f"{quoted(text)} {fault[0]}", hint=fault[1])
    return turns
