"""What `import` says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.jobs.add import AddAnswer
from riglog.wording import add, layout

if TYPE_CHECKING:
    from riglog.jobs.spreadsheet import ImportAnswer, ImportedRow

_HEADS = {"new": "new", "changed": "new version", "same": "as before"}


def say(answer: ImportAnswer) -> str:
    """What was recorded, counted; in a dry run, what each row would become."""
    summary = add.say(AddAnswer(answer.dry_run, [each.became for each in answer.rows]))
    if not answer.dry_run:
        return summary
    return layout.page(summary, "\n".join(map(_row, answer.rows)))


def tell(answer: ImportAnswer) -> dict[str, Any]:
    """What became of each row, as one object.

    ``{"file", "dry_run", "rows", "warnings"}``

    ``rows`` holds ``{"row", "kind", "id", "what", "version", "entry"}`` of each, and in a dry run
    ``document``, what the row says as a kit document has it.
    """
    told = add.tell(AddAnswer(answer.dry_run, [each.became for each in answer.rows]))
    rows = [
        {"row": each.row} | became | _document(each)
        for each, became in zip(answer.rows, told["recorded"], strict=True)
    ]
    return {
        "file": answer.file,
        "dry_run": answer.dry_run,
        "rows": rows,
        "warnings": told["warnings"],
    }


def _row(each: ImportedRow) -> str:
    about = " of" if each.became.kind == "reading" else ""
    head = (
        f"row {each.row}: {_HEADS[each.became.what]} {each.became.kind}{about} {each.became.id}: "
    )
    return layout.wrapped(head + _brief(each.says), rest="    ")


def _document(each: ImportedRow) -> dict[str, Any]:
    return {"document": each.says} if each.says else {}


def _brief(says: dict[str, Any]) -> str:
    return ", ".join(f"{key} {_value(value)}" for key, value in says.items() if key != "id")


def _value(value: Any) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{key}: {_value(item)}' for key, item in value.items())}}}"
    return str(value)
