"""What `who` says: the answer in a line, then a table of who set what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording import described, kept, layout, values

if TYPE_CHECKING:
    from riglog.jobs.version_answers import Described, Field, Said, WhoAnswer

_HEADING = ("FIELD", "VALUE", "WHO", "WHEN", "IN", "BEFORE")
_FIELD = 22
_BEFORE = 16
# Names below these are known without them.
_PLAIN = ("settings.", "parts.", "adjusters.", "mounts.")
# What people ask for most, where they name no field.
_FIRST = ("mass", "settings.pivot", "times")


def say(answer: WhoAnswer) -> str:
    """Who said it, when and by what, and what came before."""
    fields = answer.fields
    first = next((each for name in _FIRST for each in fields if each.name == name), fields[0])
    spoken = [each for each in fields if each.name == first.name]
    heading = "\n".join(layout.lines(_sentence(answer, each)) for each in spoken)
    measured = layout.listing("Measured, and counted too:", map(_measured, answer.measured))
    rows = [each for each in fields if each.now.author] if len(fields) > len(spoken) else []
    heads = dict.fromkeys(each.head for each in rows)
    tables = (_table(answer, [each for each in rows if each.head == head]) for head in heads)
    return layout.page(heading, *tables, measured)


def _table(answer: WhoAnswer, fields: list[Field]) -> str:
    rows = layout.table([_HEADING, *map(_row, fields)], "<<<<<<", 1)
    head = fields[0].head
    return f"{answer.id}@{head}\n{rows}" if head else rows


def _measured(told: Described) -> str:
    return f"{described.phrase(told)} ({described.when(told)})"


def _sentence(answer: WhoAnswer, field: Field) -> str:
    told, before = field.now, field.before
    thing = f"{answer.id}@{field.head}" if field.head else answer.id
    if not told.author:
        return f"{thing} {field.name}: nobody wrote one down."
    value = "no longer said" if told.value is None else values.value(told.value)
    former = f"; before, {values.value(before.value)}, {_by(before)}" if before else ""
    return f"{thing} {field.name} {value}: {_by(told)}{former}."


def _by(told: Said) -> str:
    """By whom, how and when, and in which entry."""
    source = "" if told.source in {"", "reading"} else f" by {layout.harmless(str(told.source))}"
    place = f"@{told.name}" if told.name else f"reading {kept.short(told.entry)}"
    return f"{layout.harmless(told.author)}{source}, {kept.minute(told.at)} ({place})"


def _row(field: Field) -> tuple[str, ...]:
    told = field.now
    name = next(
        (field.name.removeprefix(p) for p in _PLAIN if field.name.startswith(p)), field.name
    )
    source = "" if told.source in {"", "reading"} else f" ({told.source})"
    return (
        layout.shortened(name, _FIELD),
        f"{_or_dash(told)}{source}",
        kept.who(told.author),
        kept.day(told.at),
        f"@{told.name}" if told.name else kept.short(told.entry),
        layout.shortened(_or_dash(field.before), _BEFORE),
    )


def _or_dash(told: Said | None) -> str:
    return "-" if told is None or told.value is None else values.value(told.value)


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
