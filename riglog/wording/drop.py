"""The answer to a drop test: what it was against what was expected, and the fine move."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import listed
from riglog.jobs.answers import Value
from riglog.wording import (
    cautions,
    evidence,
    figures,
    fine_move,
    layout,
    moves,
    nose,
    objects,
    readings,
    traced,
    warned,
)
from riglog.wording.terms import PIVOT, Terms

if TYPE_CHECKING:
    from riglog.jobs.drop_answers import DropAnswer
    from riglog.wording.objects import Json

_NOTHING = Value(None, None, None)


def say(answer: DropAnswer) -> str:
    """The answer as a page of text; its first line can be called across a set."""
    terms = _terms(answer)
    told = [text for _, text in warned.messages(answer.warnings, terms)]
    return layout.page(
        layout.lines(nose.trim_first(answer.off, terms) or fine_move.called_out(answer, terms)),
        layout.lines(
            _started(answer), _recorded(answer), *traced.sentences(answer.timed), _expected(answer)
        ),
        layout.listing(
            cautions.heading("Mind", answer.cautions), told + cautions.sentences(answer.cautions)
        ),
        fine_move.spelled_out(answer, terms),
        layout.lines(
            nose.told(answer.off, terms),
            _margin(answer, terms),
            _nudged(answer, terms),
            moves.finer(answer.vernier, terms),
            evidence.rests_on(answer.evidence),
            evidence.next_rung(answer.next_rung, terms),
        ),
    )


def tell(answer: DropAnswer) -> Json:
    """What was recorded, what was expected, and the fine move, as one object.

    ``{"build", "version", "entry", "recorded", "started", "mark_mm", "measured", "predicted",
    "wanted_s", "move_mm", "adjuster", "move", "to_mm", "set_mm", "toward", "careful", "with_it",
    "at_set", "off_trim", "nudge", "margin_g", "depth_mm", "vernier", "cautions", "evidence",
    "next", "warnings"}``

    ``recorded`` is the entry's id. ``measured`` is ``{"drop_s", "times_s", "scatter_s", "method",
    "fps", "timed_to", "timing_sd_s"}``: the mean up to upright, each time and their standard
    deviation; how they were taken, and the standard deviation of one such timing; of a trace also
    ``found`` and ``friction_n_m``, what the swings after the drops show. ``predicted`` is
    ``{"drop_s": {"value", "low", "high"}, "deviations"}``: what was expected before this drop, and
    how many standard deviations off it was. ``move_mm`` is unrounded and a change of reading;
    ``adjuster`` names what moves, the pivot unless its guides lie fore and aft; ``move`` has its
    bounds; ``to_mm`` is where it leads, ``set_mm`` where to go now, and ``at_set`` what is expected
    there. ``with_it`` are slides that go with it on guides that lean, as ``swap`` has them.
    ``off_trim`` is null unless the drop said its nose: the mean times of both, how far forward of
    the pivot the center of gravity lies by all that was logged, the slide that takes it out, and
    whether trimming comes ``first``. Of a ring whose sides were each told, ``mark_left_mm`` and
    ``mark_right_mm`` stand beside their mean.
    """
    terms = _terms(answer)
    return {
        **objects.named(answer.named),
        "recorded": answer.recorded,
        "started": answer.started,
        **readings.mark_json(answer.sides or answer.mark_m, "mark"),
        "measured": _measured(answer),
        "predicted": {
            "drop_s": objects.value(answer.predicted_s, "s"),
            "deviations": objects.number(answer.surprise, "s"),
        },
        "wanted_s": objects.number(answer.wanted_s, "s"),
        "move_mm": objects.number(answer.move_m, "mm"),
        "adjuster": answer.sets,
        "move": answer.move and {f"{answer.sets}_mm": objects.value(answer.move, "mm")},
        "to_mm": objects.number(answer.to_m, "mm"),
        "set_mm": objects.number(answer.set_m, "mm"),
        "toward": answer.toward,
        "careful": answer.careful,
        "with_it": [readings.setting(move) for move in answer.taken_back],
        "at_set": answer.at_target_s and {"drop_s": objects.value(answer.at_target_s, "s")},
        "off_trim": nose.tell(answer.off),
        "nudge": _nudge(answer),
        "margin_g": objects.number(answer.margin_kg, "g"),
        "depth_mm": objects.number(answer.depth_m, "mm"),
        "vernier": objects.vernier(answer.vernier),
        "cautions": list(answer.cautions),
        "evidence": objects.evidence(answer.evidence),
        "next": objects.next_rung(answer.next_rung),
        "warnings": objects.warnings(warned.messages(answer.warnings, terms)),
    }


def _terms(answer: DropAnswer) -> Terms:
    scales = {PIVOT: answer.pivot, answer.sets: answer.scale}
    scales |= {move.name: move.adjuster for move in answer.taken_back}
    return Terms(answer.named.type, answer.named.mode, scales, answer.sets)


def _measured(answer: DropAnswer) -> Json:
    return {
        "drop_s": objects.number(answer.measured_s, "s"),
        "times_s": [objects.number(time_s, "s") for time_s in answer.times_s],
        "scatter_s": objects.number(answer.scatter_s, "s"),
        "method": answer.timed and answer.timed.method,
        "fps": answer.timed and answer.timed.fps,
        "timed_to": answer.timed and answer.timed.timed_to,
        "timing_sd_s": answer.timed and objects.number(answer.timed.sd_s, "s"),
        **traced.tell(answer.timed),
    }


def _nudge(answer: DropAnswer) -> Json | None:
    if answer.nudge is None:
        return None
    return {
        "by_mm": objects.number(answer.nudge.by_m, "mm"),
        "up_s": objects.number(answer.nudge.up_s, "s"),
        "down_s": objects.number(answer.nudge.down_s, "s"),
    }


def _started(answer: DropAnswer) -> str:
    if not answer.started:
        return ""
    return f"{answer.named.build} is new: a {answer.named.type} rig with nothing listed on it yet."


def _recorded(answer: DropAnswer) -> str:
    """What was understood of the call, and the entry that now holds it."""
    stood = answer.sides or answer.mark_m
    mark = "" if stood is None else f" at {readings.mark(stood, answer.pivot)}"
    lenses = f" with {layout.harmless(listed(answer.lenses, 'and'))}" if answer.lenses else ""
    return (
        f"{answer.named.build}{lenses}{mark}: {figures.seconds(answer.measured_s)},"
        f" {_from_drops(answer)}{_taken(answer)}. Recorded as {evidence.entry(answer.recorded)}."
    )


def _from_drops(answer: DropAnswer) -> str:
    far = answer.timed is not None and answer.timed.timed_to == "far-side"
    return f"half the way to the far side, {_of_drops(answer)}" if far else _of_drops(answer)


def _of_drops(answer: DropAnswer) -> str:
    count = len(answer.times_s)
    if count < 2:
        return "one drop"
    scatter = ""
    if answer.scatter_s is not None:
        scatter = f", scatter {figures.seconds(answer.scatter_s)}"
    return f"the mean of {count} drops{scatter}"


def _taken(answer: DropAnswer) -> str:
    """How they were taken, unless by a stopwatch as ever."""
    if answer.timed is None or answer.timed.method == "stopwatch":
        return ""
    way = _WAYS[answer.timed.method]
    rate = f" at {answer.timed.fps:.6g} frames a second" if answer.timed.fps else ""
    return f", {way}{rate}, each good to {figures.timing(answer.timed.sd_s)}"


_WAYS = {"counted": "counted aloud", "clip": "from a clip", "sensor": "from a sensor"}


def _expected(answer: DropAnswer) -> str:
    if answer.predicted_s == _NOTHING and answer.surprise is None:
        return "" if answer.started else "Nothing was known to expect."
    expected = f"Expected: {figures.drop_time(answer.predicted_s)}"
    if answer.off is not None and answer.off.first:
        return f"{expected.replace('Expected', 'Expected in trim', 1)}."
    if answer.surprise is None:
        return f"{expected}."
    return f"{expected}; {figures.how_unusual(answer.surprise, 'drops')}."


def _margin(answer: DropAnswer, terms: Terms) -> str:
    """Of where it will stand after the move, or stands if there is none."""
    there = None if answer.at_target_s is None else answer.at_target_s.value
    drop_s = there if fine_move.goes(answer) and there is not None else answer.measured_s
    return evidence.margin(answer.margin_kg, drop_s, terms)


def _nudged(answer: DropAnswer, terms: Terms) -> str:
    """What a little up or down does, for whoever has not said what is wanted."""
    if answer.nudge is None or answer.wanted_s is not None:
        return ""
    by = f"{figures.fine(answer.nudge.by_m, terms.unit)} {terms.unit}"
    up, down = (
        "it turns over" if time_s is None else figures.seconds(time_s)
        for time_s in (answer.nudge.up_s, answer.nudge.down_s)
    )
    return f"{layout.capital(terms.lift)} {by} up: {up}; {by} down: {down}."
