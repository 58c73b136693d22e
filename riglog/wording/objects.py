"""The parts that JSON answers share: plain numbers whose keys end in their unit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.units import convert
from riglog.wording.terms import PIVOT

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from riglog.jobs.answers import Evidence, Load, Named, NextRung, Value, Vernier
    from riglog.jobs.remembered_answers import Remembered
    from riglog.jobs.swap_answers import FirstMark
    from riglog.wording.warned import Message

Json = dict[str, Any]


def number(value_si: float | None, symbol: str) -> float | None:
    """A number of the symbol's unit, not rounded, never -0.0; null stays null."""
    return None if value_si is None else convert(value_si, symbol) + 0.0


def value(known: Value, symbol: str) -> Json:
    """``{"value", "low", "high"}``; null where there is no bound, or no value at all."""
    return {
        "value": number(known.value, symbol),
        "low": number(known.low, symbol),
        "high": number(known.high, symbol),
    }


def bounded(what: str, known: Value | None, symbol: str) -> Json:
    """A number and its 95 %: ``what_mm``, ``what_low_mm``, ``what_high_mm``; null where none is.

    For what scripts have read as a plain number from the first.
    """
    low, value, high = (None, None, None) if known is None else (known.low, known.value, known.high)
    unit = symbol.lower()
    return {
        f"{what}_{unit}": number(value, symbol),
        f"{what}_low_{unit}": number(low, symbol),
        f"{what}_high_{unit}": number(high, symbol),
    }


def named(build: Named) -> Json:
    """Which version of which build an answer is about."""
    return {"build": build.build, "version": build.version, "entry": build.entry}


def warnings(found: Iterable[Message]) -> list[Json]:
    """Each with the code that a script asks for and the sentence that people read."""
    return [{"code": code, "message": message} for code, message in found]


def evidence(grounds: Evidence) -> Json:
    """What was used and what was taken for granted."""
    return {
        "drops": grounds.drops,
        "readings": grounds.readings,
        "unweighed": list(grounds.unweighed),
        "unlisted": grounds.unlisted,
        "unset": list(grounds.unset),
        "doubted": [{"entry": name, "probability": sure} for name, sure in grounds.doubted],
        "kept_out": [{"entry": name, "conditions": list(why)} for name, why in grounds.kept_out],
        "disputed": list(grounds.disputed),
        "on_head": grounds.on_head,
    }


def next_rung(rung: NextRung | None) -> Json | None:
    """The half width of the interval now, and after one more measurement."""
    if rung is None:
        return None
    return {
        "do": rung.do,
        "what": rung.what,
        "now_mm": number(rung.now_m, "mm"),
        "then_mm": number(rung.then_m, "mm"),
    }


def first_mark(first: FirstMark) -> Json:
    """Where to start: the pivot's mark, and what else stands elsewhere there."""
    others = {move.name: move.set_m for move in first.also}
    if first.name not in {PIVOT, ""}:
        others = {first.name: first.set_m, **others}
    return {
        "pivot_mm": None if first.name in others else number(first.set_m, "mm"),
        "settings": [
            {"adjuster": name, "set_mm": number(set_m, "mm")} for name, set_m in others.items()
        ],
    }


def vernier(finer: Vernier | None) -> Json | None:
    """A part that moves the balance finer than one step of the pivot."""
    if finer is None:
        return None
    return {
        "part": finer.part,
        "mass_kg": number(finer.mass_kg, "kg"),
        "toward": finer.toward,
        "part_mm": number(finer.part_m, "mm"),
        "pivot_mm": number(finer.pivot_m, "mm"),
        "drop_change_s": number(finer.drop_change_s, "s"),
    }


def remembered(settings: Sequence[Remembered]) -> list[Json]:
    """What else was set when about this much hung there."""
    return [
        {
            "key": each.key,
            "value": each.said,
            "mass_kg": number(each.mass_kg, "kg"),
            "build": each.build,
        }
        for each in settings
    ]


def loads(carried: Sequence[Load]) -> list[Json]:
    """What each link carries, and what it is rated for."""
    return [
        {
            "link": load.link,
            "mass_kg": number(load.mass_kg, "kg"),
            "least_kg": number(load.least_kg, "kg"),
            "greatest_kg": number(load.greatest_kg, "kg"),
        }
        for load in carried
    ]
