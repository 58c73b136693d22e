"""What `who` says: the answer in a line, then a table of who set what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording import described, kept, layout

if TYPE_CHECKING:
    from riglog.jobs.version_answers import Described, Field, Said, WhoAnswer

_HEADING = ("FIELD", "VALUE", "WHO", "WHEN", "IN", "BEFORE")
_VALUE = 22
_FIELD = 24
# What people ask for most, where they name no field.
_FIRST = ("mass", "settings.pivot", "times")


def say(answer: WhoAnswer) -> str:
    """Who said it, when and by what, and what came before."""
    fields = answer.fields
    first = next((each for name in _FIRST for each in fields if each.name == name), fields[0])
    heading = layout.lines(_sentence(answer, first))
    measured = layout.listing("Measured, and counted too:", map(_measured, answer.measured))
    if len(fields) == 1:
        return layout.page(heading, measured)
    rows = [_HEADING, *(_row(each) for each in fields if each.now.author)]
    return layout.page(heading, layout.table(rows, "<<<<<<", 5), measured)


def _measured(told: Described) -> str:
    return f"{described.phrase(told)} ({described.when(told)})"


def _sentence(answer: WhoAnswer, field: Field) -> str:
    told = field.now
    if not told.author:
        return f"{answer.id} {field.name}: nobody wrote one down."
    at = f" on {field.head}" if field.head else ""
    value = f"{_value(told.value)}{at}" if told.value is not None else f"no longer said{at}"
    before = f"; before, {_value(field.before.value)}, {_by(field.before)}" if field.before else ""
    if field.before and field.before.value is None:
        before = f"; before, nothing, {_by(field.before)}"
    return f"{answer.id} {field.name} {value}: {_by(told)}{before}."


def _by(told: Said) -> str:
    """By whom, how and when, and in which entry."""
    source = "" if told.source in {"", "reading"} else f" by {layout.harmless(str(told.source))}"
    place = f"@{told.name}" if told.name else f"reading {kept.short(told.entry)}"
    return f"{layout.harmless(told.author)}{source}, {kept.minute(told.at)} ({place})"


def _row(field: Field) -> tuple[str, ...]:
    told = field.now
    name = f"{field.name} (@{field.head})" if field.head else field.name
    value = "-" if told.value is None else _value(told.value)
    source = "" if told.source in {"", "reading"} else f" ({told.source})"
    return (
        layout.shortened(name, _FIELD),
        layout.shortened(f"{value}{source}", _VALUE),
        kept.who(told.author),
        kept.day(told.at),
        f"@{told.name}" if told.name else kept.short(told.entry),
        _value(field.before.value) if field.before and field.before.value is not None else "-",
    )


def _value(value: Any) -> str:
    """A value as a document writes it, on one line."""
    if isinstance(value, dict) and "component" in value:
        return f"on {value['on']}"
    if isinstance(value, dict):
        return f"({', '.join(f'{key} {_value(item)}' for key, item in value.items())})"
    if isinstance(value, list):
        return ", ".join(map(_value, value))
    return layout.harmless(" ".join(str(value).split()))


def tell(answer: WhoAnswer) -> dict[str, Any]:
    """Who set what, as ``{"kind", "id", "fields", "measured"}``.

    Each field has ``{"field", "head", "now", "before"}``, where ``head`` names one of two newest
    versions. ``now`` and ``before`` are ``{"value", "entry", "version", "author", "at",
    "source"}``: the value as documents write it, a null version where a reading told it, and the
    scale or source of a mass. ``now`` is null where nobody wrote one down; ``measured`` lists what
    was measured of these fields beside that. ``before`` is null where nothing came before.
    """
    return {
        "kind": answer.kind,
        "id": answer.id,
        "fields": [
            {
                "field": each.name,
                "head": each.head or None,
                "now": _said(each.now),
                "before": _said(each.before) if each.before else None,
            }
            for each in answer.fields
        ],
        "measured": described.all_json(answer.measured),
    }


def _said(told: Said) -> dict[str, Any] | None:
    if not told.author:
        return None
    return {
        "value": told.value,
        "entry": told.entry,
        "version": told.name or None,
        "author": told.author,
        "at": told.at,
        "source": told.source or None,
    }
