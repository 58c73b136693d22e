"""What each drop time means for the shot, and which to take."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import (
    cautions,
    commands,
    evidence,
    figures,
    layout,
    margins,
    moves,
    objects,
    readings,
    shot_table,
    warned,
)
from riglog.wording.terms import PIVOT, Terms

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.drop_curve import DropCurve
    from riglog.jobs.shot_answers import Limit, Shot, ShotAnswer, ShotRow
    from riglog.wording.objects import Json


def say(answer: ShotAnswer) -> str:
    """The answer as a page of text; its first line can be called across a set."""
    terms = _terms(answer)
    told = [text for _, text in warned.messages(answer.warnings, terms)]
    return layout.page(
        layout.lines(_spoken(answer, terms)),
        layout.lines(_why(answer, terms)),
        shot_table.table(answer),
        layout.lines(*_legend(answer, terms)),
        "\n".join([layout.lines(_start(answer, terms)), _command(answer)]),
        layout.listing(
            cautions.heading("Before you start", answer.cautions),
            told + cautions.sentences(answer.cautions),
        ),
        layout.lines(evidence.rests_on(answer.evidence)),
    )


def plotted(answer: ShotAnswer) -> DropCurve | None:
    """What a plot shows beside it."""
    return answer.curve


def tell(answer: ShotAnswer) -> Json:
    """What each drop time means for the shot, as one object.

    ``{"build", "version", "entry", "adjuster", "pivot_mm", "asked", "wanted_s", "rows", "take",
    "why", "first", "cautions", "evidence", "warnings"}``

    ``adjuster`` is what sets the drop time: the pivot unless its guides lie fore and aft, and the
    key that tells where it stands has its name. ``asked`` repeats what was understood. ``wanted_s``
    is the drop time that falls through the move by itself in its time, null without a move. Each of
    ``rows`` is ``{"drop_s", "to_mm", "low_mm", "high_mm", "set_mm", "beyond_mm", "force_n",
    "fall_s", "swing_deg", "accel_deg", "band_deg", "margin_g", "up_s", "down_s", "lean_to_mm",
    "limit"}``: ``fall_s`` hands off through the move, else from horizontal, null where it does not
    get there; ``up_s`` and ``down_s`` one step of it to the safe side and to the other, null where
    it turns over; ``margin_g`` more at the camera makes it neutral, in low mode that much less, in
    a ring more on top of it; ``limit`` what rules it out, else null. From ``force_n`` to
    ``lean_to_mm`` each has its bounds of 95 % beside it, for a rig that drops in that time, as
    ``force_low_n`` and ``force_high_n``. ``take`` is the number of the recommended row, from 0,
    ``why`` the code and the sentence, ``first`` the mark to start from for it and what is expected
    there.
    """
    terms = _terms(answer)
    return {
        **objects.named(answer.named),
        "adjuster": answer.sets,
        **readings.mark_json(answer.stands_m, answer.sets),
        "asked": _asked(answer.shot),
        "wanted_s": objects.number(answer.wanted_s, "s"),
        "rows": [_row_told(row) for row in answer.rows],
        "take": answer.chosen,
        "why": {"code": answer.why.code, "message": _why(answer, terms)},
        "first": {
            **objects.first_mark(answer.first),
            "drop_s": objects.value(answer.first.drop_s, "s"),
        },
        "cautions": list(answer.cautions),
        "evidence": objects.evidence(answer.evidence),
        "warnings": objects.warnings(warned.messages(answer.warnings, terms)),
    }


def _terms(answer: ShotAnswer) -> Terms:
    scales = {PIVOT: answer.scale, answer.sets: answer.scale}
    scales |= {move.name: move.adjuster for move in answer.first.also}
    return Terms(answer.named.type, answer.named.mode, scales, answer.sets)


def _unsafe(answer: ShotAnswer) -> str:
    """Which way from a mark it is less bottom heavy."""
    return "higher" if answer.first.toward == "down" else "lower"


def _asked(shot: Shot) -> Json:
    return {
        "held_deg": objects.number(shot.held_rad, "deg"),
        "grip_mm": objects.number(shot.grip_m, "mm"),
        "walk_m_s": shot.walk_m_s,
        "from_deg": objects.number(shot.from_rad, "deg"),
        "to_deg": objects.number(shot.to_rad, "deg"),
        "over_s": objects.number(shot.over_s, "s"),
        "accel_m_s2": shot.accel_m_s2,
        "for_s": objects.number(shot.for_s, "s"),
        "lean_deg": objects.number(shot.lean_rad, "deg"),
    }


def _row_told(row: ShotRow) -> Json:
    mark = row.mark
    return {
        "drop_s": objects.number(row.drop_s, "s"),
        "to_mm": objects.number(mark.to_m, "mm"),
        "low_mm": objects.number(mark.low_m, "mm"),
        "high_mm": objects.number(mark.high_m, "mm"),
        "set_mm": objects.number(mark.set_m, "mm"),
        "beyond_mm": objects.number(mark.beyond_m, "mm"),
        **objects.bounded("force", row.force_n, "N"),
        **objects.bounded("fall", row.fall_s, "s"),
        **objects.bounded("swing", row.swing_rad, "deg"),
        **objects.bounded("accel", row.accel_rad, "deg"),
        **objects.bounded("band", row.band_rad, "deg"),
        **objects.bounded("margin", row.margin_kg, "g"),
        **objects.bounded("up", row.up_s, "s"),
        **objects.bounded("down", row.down_s, "s"),
        **objects.bounded("lean_to", row.lean_to_m, "mm"),
        "limit": row.limit and row.limit.code,
    }


def _taken(answer: ShotAnswer) -> ShotRow:
    return answer.rows[answer.chosen]


def _spoken(answer: ShotAnswer, terms: Terms) -> str:
    row = _taken(answer)
    low, high = (figures.fine(each, terms.unit) for each in (row.mark.low_m, row.mark.high_m))
    at = figures.spoken(row.mark.set_m, answer.scale)
    start = figures.spoken(answer.first.set_m, answer.scale)
    return (
        f"Take {figures.seconds(row.drop_s)}: {terms.lift} at {at} ({low} to {high}),"
        f" start at {start}{moves.beside(answer.first, terms)}."
    )


def _why(answer: ShotAnswer, terms: Terms) -> str:
    row, beside = _taken(answer), answer.why.beside
    ruled = ""
    if beside is not None and beside.limit is not None:
        ruled = f"at {figures.seconds(beside.drop_s)} {_limited(beside.limit, answer, terms)}"
    move = shot_table.moved(answer.shot)
    if answer.why.code == "move":
        return f"Why: hands off it falls {move}, which is what the move wants."
    if answer.why.code == "near":
        return f"Why: the nearest to what the move wants, since {ruled}."
    if answer.why.code == "none":
        return f"Why: the shortest, and even {ruled}."
    light = f"it is the lightest to hold, {figures.with_bounds(row.force_n, 'N', 2)}"
    return f"Why: {light}; {ruled}." if ruled else f"Why: {light}, and nothing speaks against it."


def _limited(limit: Limit, answer: ShotAnswer, terms: Terms) -> str:
    if limit.code == "step":
        step = figures.setting(answer.scale.step, answer.scale)
        lower = f"one step of the {terms.lift} {_unsafe(answer)} ({step})"
        if not limit.figure:
            return f"{lower} turns it over"
        return f"{lower} makes it {figures.seconds(limit.figure)}"
    if limit.code == "margin":
        return f"{margins.neutral(limit.figure, terms)} make it neutral"
    if limit.code == "band":
        return f"friction holds it up to {figures.degrees(limit.figure)} off"
    if limit.code == "swing":
        return f"a start or stop swings it {figures.degrees(limit.figure)}"
    return (
        f"the mark lies {figures.fine(abs(limit.figure), terms.unit)} {terms.unit} past the travel"
    )


def _legend(answer: ShotAnswer, terms: Terms) -> Iterator[str]:
    yield from shot_table.legend(answer, terms)
    if any(row.limit is not None for row in answer.rows):
        yield "! is not to be taken: " + "; ".join(_ruled_out(answer, terms)) + "."


def _ruled_out(answer: ShotAnswer, terms: Terms) -> list[str]:
    """The first drop time that each kind of limit rules out."""
    found: dict[str, str] = {}
    for row in answer.rows:
        if row.limit is not None:
            at = f"at {figures.seconds(row.drop_s)}"
            found.setdefault(row.limit.code, f"{at} {_limited(row.limit, answer, terms)}")
    return list(found.values())


def _start(answer: ShotAnswer, terms: Terms) -> str:
    row, mark = _taken(answer), figures.setting(answer.first.set_m, answer.scale)
    at = figures.setting(row.mark.set_m, answer.scale)
    known = answer.at_mark_s
    risk = ", or it turns over" if known.value is not None and known.high is None else ""
    return (
        f"Set to {at} without a drop test: {figures.drop_time(known)}{risk}. Trim it, start the"
        f" {terms.lift} at {mark}, where it is surely bottom heavy"
        f" ({figures.drop_time(answer.first.drop_s)}), drop it once, then move:"
    )


def _command(answer: ShotAnswer) -> str:
    drop_s = _taken(answer).drop_s
    return commands.first_drop(answer.named.build, answer.first, answer.scale, drop_s)
