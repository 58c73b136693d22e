"""What `name` says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording import described, layout

if TYPE_CHECKING:
    from riglog.jobs.version_answers import NameAnswer


def say(answer: NameAnswer) -> str:
    """What is called how now, and what was called so before."""
    name = answer.name
    called, place = f"{name.subject}@{name.words}", described.place(name)
    if not answer.new:
        return layout.lines(f"Nothing new: {place} is called {called} already.")
    before = (
        f"Before, {described.place(each)} was called so ({described.when(each)})."
        for each in answer.before
    )
    return layout.lines(f"{place} is called {called} now.", *before)


def tell(answer: NameAnswer) -> dict[str, Any]:
    """The name, as an object of the same keys as a note's, and ``"before"``.

    ``words`` is the name, ``about`` holds the version; ``before`` are entries that it supersedes.
    """
    return {
        "recorded": answer.new,
        **described.as_json(answer.name),
        "before": described.all_json(answer.before),
    }
