"""The answer from marks and drop times alone: neutral, radius of gyration, the wanted mark."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.answers import Value
from riglog.records import Adjuster
from riglog.wording import commands, figures, layout, objects, warned
from riglog.wording.terms import PIVOT, Terms

if TYPE_CHECKING:
    from riglog.jobs.neutral_answers import NeutralAnswer
    from riglog.wording.objects import Json

# No rig is known here, and so no step: marks are shown as finely as bounds.
_STEP_M = {"mm": 0.0001, "cm": 0.0001, "in": 0.000254}


def say(answer: NeutralAnswer) -> str:
    """The answer as a page of text; its first line can be called across a set."""
    told = warned.messages(answer.warnings, _terms(answer))
    return layout.page(
        layout.lines(_spoken(answer)),
        layout.listing("Mind:", [text for _, text in told]),
        layout.facts(_rows(answer)),
        _first(answer),
    )


def tell(answer: NeutralAnswer) -> Json:
    """Neutral, radius of gyration and the wanted mark, as one object.

    ``{"neutral_mm", "gyration_mm", "mark_mm", "wanted_s", "guides_lean_deg", "first", "marks",
    "warnings"}``

    The first three are each ``{"value", "low", "high"}``; ``mark_mm`` and ``first``, the safe mark
    to start from, are null unless a drop time is wanted.
    """
    return {
        "neutral_mm": objects.value(answer.neutral_m, "mm"),
        "gyration_mm": objects.value(answer.gyration_m, "mm"),
        "mark_mm": answer.mark_m and objects.value(answer.mark_m, "mm"),
        "wanted_s": objects.number(answer.wanted_s, "s"),
        "guides_lean_deg": objects.number(answer.lean_rad, "deg"),
        "first": _first_told(answer),
        "marks": [
            {"pivot_mm": objects.number(mark_m, "mm"), "drop_s": objects.number(time_s, "s")}
            for mark_m, time_s in zip(answer.marks_m, answer.times_s, strict=True)
        ],
        "warnings": objects.warnings(warned.messages(answer.warnings, _terms(answer))),
    }


def _first_told(answer: NeutralAnswer) -> Json | None:
    if answer.first_m is None:
        return None
    known = answer.first_drop_s or Value(None, None, None)
    return {
        "pivot_mm": objects.number(answer.first_m, "mm"),
        "drop_s": objects.number(known.value, "s"),
        "drop_low_s": objects.number(known.low, "s"),
        "drop_high_s": objects.number(known.high, "s"),
    }


def _scale(answer: NeutralAnswer) -> Adjuster:
    return Adjuster(id=PIVOT, axis="z", step=_STEP_M[answer.unit], unit=answer.unit)


def _terms(answer: NeutralAnswer) -> Terms:
    return Terms("", "high", {PIVOT: _scale(answer)})


def _spoken(answer: NeutralAnswer) -> str:
    if answer.neutral_m.value is None:
        return "These marks do not tell where neutral is."
    if answer.wanted_s is None or answer.mark_m is None:
        return f"Neutral is at {_mark(answer.neutral_m, answer)}."
    wanted = figures.typed_seconds(answer.wanted_s).replace("s", " s")
    start = ""
    if answer.first_m is not None:
        start = f", start at {figures.spoken(answer.first_m, _scale(answer))}"
    return f"For {wanted} set the pivot to {_mark(answer.mark_m, answer)}{start}."


def _mark(known: Value, answer: NeutralAnswer) -> str:
    return figures.length(known, answer.unit).replace(f" {answer.unit}", "", 1)


def _rows(answer: NeutralAnswer) -> list[tuple[str, str]]:
    """What was understood of the call, and what follows from it."""
    scale = _scale(answer)
    understood = ", ".join(
        f"{figures.seconds(time_s)} at {figures.spoken(mark_m, scale)}"
        for mark_m, time_s in zip(answer.marks_m, answer.times_s, strict=True)
    )
    return [
        ("marks", f"{understood} {answer.unit}"),
        ("neutral", figures.length(answer.neutral_m, answer.unit)),
        ("radius of gyration", figures.length(answer.gyration_m, answer.unit)),
    ]


def _first(answer: NeutralAnswer) -> str:
    """Where to start, and the same call with that mark added."""
    if answer.first_m is None or answer.wanted_s is None:
        return ""
    scale = _scale(answer)
    expected = ""
    if answer.first_drop_s is not None:
        expected = f" Expected there: {figures.drop_time(answer.first_drop_s)}."
    text = (
        f"Start at {figures.setting(answer.first_m, scale)}, where it is surely bottom heavy."
        f"{expected} Drop it once, then ask again with that mark added:"
    )
    marks = zip(answer.marks_m, answer.times_s, strict=True)
    return "\n".join(
        [
            layout.lines(text),
            commands.neutral(marks, answer.first_m, answer.wanted_s, answer.unit, answer.lean_rad),
        ]
    )
