"""What `list names`, `list tags` and `list notes` say."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording import described, kept, layout

if TYPE_CHECKING:
    from riglog.jobs.listing_said import Remark, RemarksAnswer
    from riglog.jobs.version_answers import Described


def say(answer: RemarksAnswer) -> str:
    """A table with a heading; what is long gives way."""
    if not answer.remarks:
        return f"There are no {answer.kind}s yet."
    heading = (answer.kind.upper(), "OF", "WHO", "WHEN", "ENTRY")
    return layout.table([heading, *map(_row, answer.remarks)], "<<<<<")


def _row(remark: Remark) -> tuple[str, ...]:
    said = remark.said
    words = layout.harmless(" ".join(remark.words.split()))
    return words, _of(said), kept.who(said.author), kept.day(said.at), kept.short(said.entry)


def _of(said: Described) -> str:
    """What it is said of: a version or a reading by its name, a thing as such by its id."""
    told = said
    if said.kind in {"note", "tag", "name"}:
        if not said.about:
            return said.subject
        told = said.about[0]
    if told.kind in described.THINGS:
        return f"{told.subject}@{told.version}"
    return f"{told.subject} {told.read.noun.kind if told.read else told.kind}"


def tell(answer: RemarksAnswer) -> list[dict[str, Any]]:
    """An array, each ``{"words", "said"}`` with what says so as ``history`` has it."""
    return [{"words": each.words, "said": described.as_json(each.said)} for each in answer.remarks]
