"""Entries as people speak of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import quoted
from riglog.units import convert
from riglog.wording import figures, kept, layout, readings

if TYPE_CHECKING:
    from collections.abc import Iterable

    from riglog.jobs.version_answers import Described, Fate
    from riglog.records.measurements import Measurement

THINGS = ("component", "rig", "build", "scale")


def phrase(told: Described) -> str:
    """What an entry is, within a sentence: ``the drop 3.1 s of a-cam at 487.0 mm [1a2b3c4d]``."""
    short = kept.short(told.entry)
    if told.kind in THINGS:
        return f"{told.subject}@{told.version}"
    if told.kind == "reading":
        return f"the {measured(told)} [{short}]"
    return _said(told) if told.measurement is None else f"the {_found(told)} [{short}]"


def _found(told: Described) -> str:
    assert told.measurement is not None
    return f"{measurement(told.measurement)} of {told.subject}"


def _said(told: Described) -> str:
    """A note, a tag, a name or an undo."""
    short, on = kept.short(told.entry), place(told)
    if told.kind == "tag":
        return f"the tag {quoted(told.words)} on {on}"
    if told.kind == "name":
        return f"the name {told.words} of {on}"
    if told.kind == "undo":
        return f"the undo of {on} [{short}]"
    return f"the {told.kind} {quoted(told.words)} on {on} [{short}]"


def measurement(noun: Measurement) -> str:
    """What was measured on a component by itself: ``weighing 1.452, 1.451 kg, bench-one``."""
    match noun.kind:
        case "weighing":
            shown = ", ".join(f"{convert(each, 'kg'):.6g}" for each in noun.shown)
            less = f" less {convert(noun.without, 'kg'):.6g} kg" if noun.without else ""
            by = noun.scale or noun.by
            return f"weighing {shown} kg{less}{f', {by}' if by else ''}"
        case "center":
            at = figures.fine(noun.at, "mm")
            return f"center {at} mm along {noun.along}{f', {noun.how}' if noun.how else ''}"
        case "inertia":
            value = f"{convert(noun.moment, 'kg cm2'):.4g} kg cm2 about {noun.about}"
            return f"inertia {value}{f', {noun.how}' if noun.how else ''}"


def measured(told: Described) -> str:
    """A reading, what it measured and where the rig stood."""
    row = told.read
    assert row is not None
    at = "" if row.mark is None else f" at {readings.mark(row.mark, row.pivot)}"
    when = kept.minute(row.noun.on)
    return (
        f"{row.noun.kind} {readings.figures_of(row.noun, row.pivot)} of {told.subject}{at}, {when}"
    )


def place(told: Described) -> str:
    """What a note, a tag, a name or an undo is about."""
    return phrase(told.about[0]) if told.about else told.subject


def when(told: Described) -> str:
    """By whom and when."""
    return f"{layout.harmless(told.author)}, {kept.minute(told.at)}"


def fate_words(fate: Fate) -> str:
    """Why an entry counts no longer."""
    by = f"{layout.harmless(fate.by)}, {kept.minute(fate.at)}, {kept.short(fate.entry)}"
    return f"{fate.how} by {by}"


def as_json(told: Described) -> dict[str, Any]:
    """An entry: what it is, by whom, and what it is about."""
    found: dict[str, Any] = {
        "kind": told.kind,
        "id": told.subject,
        "entry": told.entry,
        "author": told.author,
        "at": told.at,
    }
    if told.kind in THINGS:
        return found | {"version": kept.number(told.version), "name": told.version}
    if told.read is not None:
        row = told.read
        figures = readings.figures_json(row.noun)
        return found | {"reading": figures | readings.mark_json(row.mark)}
    if told.measurement is not None:
        noun = told.measurement
        return found | {"on": noun.on, "words": measurement(noun), "about": []}
    return found | {"words": told.words, "about": all_json(told.about)}


def all_json(several: Iterable[Described]) -> list[dict[str, Any]]:
    """Several of them."""
    return [as_json(each) for each in several]


def fate_json(fate: Fate | None) -> dict[str, Any] | None:
    """What became of an entry; null where it counts."""
    return None if fate is None else fate._asdict()
