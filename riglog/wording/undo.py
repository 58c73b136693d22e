"""What `undo` says, before and after."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.wording import described, kept, layout

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.version_answers import UndoAnswer, Undone


def say(answer: UndoAnswer) -> str:
    """One sentence for each thing that is undone; nothing is ever removed."""
    head = "Undid" if answer.done else "Would undo"
    blocks = [
        layout.lines(f"{head} {_what(each)}.", *_effects(each, done=answer.done))
        for each in answer.undone
    ]
    end = _way_back(answer) if answer.done else "Nothing is removed: history keeps it."
    return layout.page(*blocks, layout.lines(end))


def _way_back(answer: UndoAnswer) -> str:
    undos = [kept.short(each) for each in answer.recorded[:1]]
    return f"riglog undo {undos[0]} brings it back." if undos else ""


def _what(undone: Undone) -> str:
    return f"{described.phrase(undone.what)} ({described.when(undone.what)})"


def _effects(undone: Undone, *, done: bool) -> Iterator[str]:
    """What follows from it."""
    would = "" if done else "would "
    what, subject = undone.what, undone.what.subject
    back = listed([described.phrase(each) for each in undone.back], "and") if undone.back else ""
    s = "s" if done and len(undone.back) == 1 else ""
    if undone.how == "bring back":
        yield f"{layout.capital(back)} {would}count{s} again."
    elif undone.how == "go back":
        fields = listed(undone.changed, "and")
        yield (
            f"{subject}@{undone.version} {'has' if done else 'would have'} {fields} as in {back}."
        )
    elif what.kind in described.THINGS:
        if back:
            yield f"{layout.capital(back)} {would}count{s} again as newest."
        else:
            yield f"{subject} {'is' if done else 'would be'} left out of lists."
    else:
        yield f"It {'counts no longer' if done else 'would count no longer'}."
        if back:
            yield f"{layout.capital(back)} {would}count{s} again."


def tell(answer: UndoAnswer) -> dict[str, Any]:
    """What was undone, or in a dry run would be, as ``{"done", "undone", "recorded"}``.

    Each of ``undone`` has ``{"what", "how", "back", "changed", "version"}``: ``how`` is leave out,
    bring back or go back; ``back`` are entries that count again; ``changed`` the fields of a thing
    that go back, and ``version`` what its newest version is called then. ``recorded`` are the ids
    of the new entries.
    """
    return {
        "done": answer.done,
        "undone": [
            {
                "what": described.as_json(each.what),
                "how": each.how,
                "back": described.all_json(each.back),
                "changed": list(each.changed),
                "version": each.version or None,
            }
            for each in answer.undone
        ],
        "recorded": list(answer.recorded),
    }
