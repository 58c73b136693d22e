"""What `tag` says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed, quoted
from riglog.wording import described, layout

if TYPE_CHECKING:
    from riglog.jobs.version_answers import TagAnswer


def say(answer: TagAnswer) -> str:
    """What was tagged how, and all the tags that it has now."""
    place = described.phrase(answer.about[0]) if answer.about else answer.subject
    if answer.removed:
        did = f"Took {_words(answer.removed)} off {place}."
    elif answer.added:
        did = f"Tagged {place} {_words([each.words for each in answer.added])}."
    else:
        did = f"Nothing new: {place} has these tags."
    has = f"It has {_words(answer.tags)}." if answer.tags else "It has no tag now."
    return layout.lines(did, has)


def _words(tags: Any) -> str:
    return listed(map(quoted, tags), "and")


def tell(answer: TagAnswer) -> dict[str, Any]:
    """What was put on and taken off, as ``{"id", "about", "added", "removed", "tags"}``.

    ``added`` are entries, ``tags`` all tags that it has now; ``about`` holds the entry that is
    tagged, and nothing where the thing as such is.
    """
    return {
        "id": answer.subject,
        "about": described.all_json(answer.about),
        "added": described.all_json(answer.added),
        "removed": list(answer.removed),
        "tags": list(answer.tags),
    }
