"""What `bundle` says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.wording import layout
from riglog.wording.kept import many

if TYPE_CHECKING:
    from riglog.jobs.bundle import BundleAnswer


def say(answer: BundleAnswer) -> str:
    """Where it is, what it holds, and how it is taken in elsewhere."""
    path = layout.harmless(answer.path)
    return layout.page(
        f"{many(answer.entries, 'entry')} in {path}",
        layout.facts(
            [
                ("holds", _holds(answer)),
                ("goes by", answer.name),
                ("fingerprint", f"{answer.fingerprint}, of the library it is from"),
            ]
        ),
        "Elsewhere:\n" + layout.command("riglog merge", path),
    )


def _holds(answer: BundleAnswer) -> str:
    whole = "everything"
    if answer.builds:
        whole = f"{listed(answer.builds, 'and')} with what each needs"
    since = f", new since {layout.harmless(answer.since)}" if answer.since else ""
    notes = f"; of notes, those of {layout.harmless(answer.notes_of)}" if answer.notes_of else ""
    return f"{whole}{since}{notes}"


def tell(answer: BundleAnswer) -> dict[str, Any]:
    """The bundle that was written, as one object.

    ``{"path", "name", "entries", "fingerprint", "builds", "since", "notes_of"}``

    ``name`` follows from what it holds; ``fingerprint`` is that of the library it is from.
    """
    return {**answer._asdict(), "builds": list(answer.builds)}
