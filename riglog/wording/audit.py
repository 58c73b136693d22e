"""What `audit` says of a library in which nothing is wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import layout

if TYPE_CHECKING:
    from riglog.jobs.audit import AuditAnswer


def say(answer: AuditAnswer) -> str:
    """How much was looked at, and that it is sound."""
    entries = "1 entry is" if answer.entries == 1 else f"{answer.entries} entries are"
    told = f"{entries} as recorded: ids, parents, tables and the file itself."
    anew = ""
    if answer.refiled is not None:
        anew = f"Made anew from {answer.refiled} of them: tables, views and triggers."
    return layout.lines(f"Sound: {layout.harmless(answer.path)}", told, anew)


def tell(answer: AuditAnswer) -> dict[str, object]:
    """``{"path", "entries", "refiled"}``; damage is an error with findings."""
    return {"path": answer.path, "entries": answer.entries, "refiled": answer.refiled}
