"""What `settle` says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.wording import kept, layout, values

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.settle import SettleAnswer, Side, Split


def say(answer: SettleAnswer) -> str:
    """The fork field by field, and how to settle it; or what became of it."""
    return layout.page(
        layout.lines(_first(answer), _joined(answer)),
        "\n".join(_fields(answer)),
        _commands(answer) if not any(each.taken for each in answer.fields) else "",
    )


def _first(answer: SettleAnswer) -> str:
    heads = listed([_called(answer, head) for head in answer.heads], "and")
    if answer.name:
        return f"Settled: {answer.id}@{answer.name} comes after {heads}."
    if answer.dry_run and any(each.taken for each in answer.fields):
        return f"Would settle {answer.id}: a new version after {heads}."
    if answer.weighed:
        return (
            f"{answer.id} was weighed apart: {heads}. All of that counts, settled or not; settling"
            " says which of it is written down."
        )
    count = len(answer.heads)
    return f"{answer.id} has {count} newest versions, and nobody settled which counts: {heads}."


def _called(answer: SettleAnswer, head: Side) -> str:
    who = layout.harmless(head.author)
    return f"{answer.id}@{head.name} ({who}, {kept.day(head.at)})"


def _joined(answer: SettleAnswer) -> str:
    if not answer.fields:
        return "They say the same."
    after = f" since {answer.id}@{answer.base}" if answer.base else ""
    fields = listed([each.field for each in answer.fields], "and")
    star = " A star marks what counts." if any(each.taken for each in answer.fields) else ""
    return f"They differ in {fields}{after}.{star}"


def _fields(answer: SettleAnswer) -> Iterator[str]:
    size = max(len(head.name) for head in answer.heads) + 3
    for split in answer.fields:
        yield _heading(answer, split)
        for head in answer.heads:
            mark = "*" if split.taken == head.name else " "
            start = f"{mark} @{head.name}".ljust(size + 2)
            yield layout.wrapped(_value(answer, head, split.field), start, " " * len(start))


def _heading(answer: SettleAnswer, split: Split) -> str:
    if answer.base is None or len(split.changed) > 1:
        return f"{split.field}, changed by all" if len(answer.heads) > 2 else f"{split.field}, both"
    return f"{split.field}, changed in @{split.changed[0]}"


def _value(answer: SettleAnswer, head: Side, field: str) -> str:
    return values.value(_document(answer, head).get(field))


def _document(answer: SettleAnswer, head: Side) -> dict[str, Any]:
    """What a head says, as a document has it, field by field."""
    from riglog.interchange.writer import written
    from riglog.library.joining import flat

    return flat(written(head.noun), {each.field for each in answer.fields})


def _commands(answer: SettleAnswer) -> str:
    """Every way to settle it, to be copied."""
    ways = [[f"--take {head.name}"] for head in answer.heads]
    open_fields = [each.field for each in answer.fields if len(each.changed) > 1]
    if answer.fields:
        first = answer.heads[0].name
        ways.append(["--join", *(f"--field {each}={first}" for each in open_fields)])
    lines = [layout.command("riglog settle", answer.id, *words) for words in ways]
    return "\n".join(["Take one of them, or field by field what counts:", *lines])


def tell(answer: SettleAnswer) -> dict[str, Any]:
    """A fork, and the version that settles it, as one object.

    ``{"kind", "id", "heads", "base", "fields", "dry_run", "version", "name", "entry"}``

    ``heads`` holds ``{"name", "entry", "author", "at"}`` of each; ``fields`` holds ``{"field",
    "values", "changed", "taken"}`` of each that differs, its values as a document says them in the
    order of the heads. ``version``, ``name`` and ``entry`` are null where nothing was recorded.
    """
    return {
        "kind": answer.kind,
        "id": answer.id,
        "heads": [
            {"name": head.name, "entry": head.entry, "author": head.author, "at": head.at}
            for head in answer.heads
        ],
        "base": answer.base,
        "fields": _fields_json(answer),
        "dry_run": answer.dry_run,
        "version": kept.number(answer.name) if answer.name else None,
        "name": answer.name,
        "entry": answer.entry,
    }


def _fields_json(answer: SettleAnswer) -> list[dict[str, Any]]:
    says = [_document(answer, head) for head in answer.heads]
    return [
        {
            "field": each.field,
            "values": [said.get(each.field) for said in says],
            "changed": list(each.changed),
            "taken": each.taken,
        }
        for each in answer.fields
    ]
