"""What `note` says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording import described, kept, layout

if TYPE_CHECKING:
    from riglog.jobs.version_answers import NoteAnswer


def say(answer: NoteAnswer) -> str:
    """What was noted on what, and how to take it back."""
    note, place = answer.note, described.place(answer.note)
    words = " ".join(layout.harmless(line) for line in note.words.splitlines())
    if not answer.new:
        return layout.lines(f"Nothing new: the same was noted on {place} ({described.when(note)}).")
    short = kept.short(note.entry)
    return layout.lines(f"Noted on {place}: {words}", f"riglog undo {short} takes it back.")


def tell(answer: NoteAnswer) -> dict[str, Any]:
    """The note, as ``{"recorded", "kind", "id", "entry", "author", "at", "words", "about"}``.

    ``about`` holds the entry that it is about, and nothing where it is about the thing as such;
    ``recorded`` is false where its author had noted the same before.
    """
    return {"recorded": answer.new, **described.as_json(answer.note)}
