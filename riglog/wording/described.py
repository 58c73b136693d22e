"""Entries as people speak of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import quoted
from riglog.wording import kept, layout, readings

if TYPE_CHECKING:
    from collections.abc import Iterable

    from riglog.jobs.version_answers import Described, Fate

THINGS = ("component", "rig", "build")


def phrase(told: Described) -> str:
    """What an entry is, within a sentence: ``the drop 3.1 s of a-cam at 487.0 mm [1a2b3c4d]``."""
    short = kept.short(told.entry)
    if told.kind in THINGS:
        return f"{told.subject}@{told.version}"
    if told.kind == "reading":
        return f"the {measured(told)} [{short}]"
    on = place(told)
    if told.kind == "tag":
        return f"the tag {quoted(told.words)} on {on}"
    if told.kind == "name":
        return f"the name {told.words} of {on}"
    if told.kind == "undo":
        return f"the undo of {on} [{short}]"
    return f"the {told.kind} {quoted(told.words)} on {on} [{short}]"


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
    return found | {"words": told.words, "about": all_json(told.about)}


def all_json(several: Iterable[Described]) -> list[dict[str, Any]]:
    """Several of them."""
    return [as_json(each) for each in several]


def fate_json(fate: Fate | None) -> dict[str, Any] | None:
    """What became of an entry; null where it counts."""
    return None if fate is None else fate._asdict()
