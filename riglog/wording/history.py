"""What `history` says: newest first, each version below what was read of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.wording import kept, layout, readings
from riglog.wording.listing import reading_json

if TYPE_CHECKING:
    from riglog.jobs.history import Change, HistoryAnswer
    from riglog.jobs.listing import Read

_NAME_COLUMN = 9


def say(answer: HistoryAnswer) -> str:
    """One line an event; what came from a fork, or settled one, says so."""
    from riglog.jobs.history import Change

    changes = [each for each in answer.events if isinstance(each, Change)]
    count = kept.many(len(changes), "version")
    read = len(answer.events) - len(changes)
    counted = f"{count}, {kept.many(read, 'reading')}" if read else count
    size = max(layout.width(kept.who(each.kept.author)) for each in answer.events)
    lines = [
        _change(each, changes, size) if isinstance(each, Change) else _reading(each, size)
        for each in answer.events
    ]
    heads = [f"{answer.id}@{each.kept.version}" for each in changes if each.kept.forked]
    fork = f"Forked: {listed(heads, 'and')} are both newest; nobody settled which counts."
    heading = layout.lines(
        f"{answer.id}, a {answer.kind}: {counted}, newest first", fork if heads else ""
    )
    return layout.page(heading, "\n".join(lines))


def _change(change: Change, changes: list[Change], size: int) -> str:
    what = ", ".join(each.replace("_", "-") for each in change.changed) or "the first"
    if _is_told(change, changes):
        what = f"{what} (from {listed([f'@{name}' for name in change.after], 'and')})"
    name = f"@{change.kept.version}"
    return _line(name, change.kept.at, kept.who(change.kept.author), what, size)


def _is_told(change: Change, changes: list[Change]) -> bool:
    """Whether a version's parent is not simply the one below it."""
    siblings = [each for each in changes if set(each.after) & set(change.after)]
    return len(change.after) > 1 or len(siblings) > 1


def _reading(read: Read, size: int) -> str:
    mark = "" if read.mark is None else f" at {readings.mark(read.mark, read.pivot)}"
    note = f": {layout.harmless(read.noun.note)}" if read.noun.note else ""
    what = f"{read.noun.kind} {readings.figures_of(read.noun, read.pivot)}{mark}{note}"
    what = f"{what} [{kept.short(read.kept.entry)}]"
    return _line("", read.noun.on, kept.who(read.kept.author), what, size)


def _line(name: str, at: str, who: str, what: str, size: int) -> str:
    who += " " * (size - layout.width(who))
    start = f"{name:<{_NAME_COLUMN}} {kept.minute(at)}  {who}  "
    return layout.wrapped(what, start, " " * layout.width(start))


def tell(answer: HistoryAnswer) -> list[dict[str, Any]]:
    """An array of versions and readings, newest first.

    ``event`` says which of the two. A version has ``{"id", "version", "name", "entry", "author",
    "at", "forked", "newest", "after", "changed"}``, where ``after`` names the versions before it;
    a reading is as ``list readings`` has it.
    """
    from riglog.jobs.history import Change

    return [
        _change_json(answer, each) if isinstance(each, Change) else _reading_json(each)
        for each in answer.events
    ]


def _change_json(answer: HistoryAnswer, change: Change) -> dict[str, Any]:
    return {
        "event": "version",
        "id": answer.id,
        **kept.as_json(change.kept),
        "newest": change.newest,
        "after": list(change.after),
        "changed": [each.replace("_", "-") for each in change.changed],
    }


def _reading_json(read: Read) -> dict[str, Any]:
    return {"event": "reading", **reading_json(read)}
