"""What `export` says of a file that it wrote."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording.kept import many

if TYPE_CHECKING:
    from riglog.jobs.written_table import WrittenTable


def say(answer: WrittenTable) -> str:
    """How many, and where."""
    return f"{many(answer.rows, answer.kind)} in {answer.path}"


def tell(answer: WrittenTable) -> dict[str, Any]:
    """Of a file that was written: ``{"path", "kind", "rows"}``."""
    return {"path": answer.path, "kind": answer.kind, "rows": answer.rows}
