"""What `show` says of a note, a tag, a name or an undo."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording import described, kept, layout

if TYPE_CHECKING:
    from riglog.jobs.show import SaidAnswer


def say(answer: SaidAnswer) -> str:
    """What was said of what, by whom, and what became of it."""
    said = answer.said
    what = (
        layout.capital(described.phrase(said))
        if said.kind != "note"
        else f"Note on {described.place(said)}"
    )
    fate = f"It counts no longer: {described.fate_words(answer.fate)}." if answer.fate else ""
    words = "" if said.kind in {"tag", "name"} else layout.harmless(" ".join(said.words.split()))
    head = f"{layout.capital(what)} ({described.when(said)}, entry {kept.short(said.entry)})"
    return layout.lines(f"{head}: {words}" if words else f"{head}.", fate)


def tell(answer: SaidAnswer) -> dict[str, Any]:
    """The entry as ``history`` tells it."""
    return {**described.as_json(answer.said), "fate": described.fate_json(answer.fate)}
