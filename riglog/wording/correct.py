"""What `correct` says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.wording import described, kept, layout

if TYPE_CHECKING:
    from riglog.jobs.version_answers import CorrectAnswer


def say(answer: CorrectAnswer) -> str:
    """What takes the place of what, and how to take it back."""
    old = described.phrase(answer.old)
    if answer.dry_run and answer.changed:
        fields = listed(answer.changed, "and")
        return layout.lines(f"Would correct {fields}: a new entry would take the place of {old}.")
    if answer.new is None:
        return layout.lines(f"Nothing new: {old} says so already.")
    new, fields = described.phrase(answer.new), listed(answer.changed, "and")
    return layout.lines(
        f"Corrected {fields}: {new} takes the place of {old}.",
        f"riglog undo {kept.short(answer.new.entry)} takes it back.",
    )


def tell(answer: CorrectAnswer) -> dict[str, Any]:
    """What was corrected, as ``{"old", "new", "changed", "dry_run"}``.

    ``new`` is null in a dry run, and where the correction says nothing new; ``changed`` are the
    fields that differ.
    """
    return {
        "old": described.as_json(answer.old),
        "new": described.as_json(answer.new) if answer.new else None,
        "changed": list(answer.changed),
        "dry_run": answer.dry_run,
    }
