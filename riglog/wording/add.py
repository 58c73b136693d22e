"""What `add` says."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.wording import layout
from riglog.wording.kept import many, number

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from riglog.jobs.add import AddAnswer
    from riglog.library.recording import Recorded
    from riglog.wording.warned import Message

_AHEAD = (
    "{what} lies in the future, at {on}, and counts as the newest until then: check the day, and"
    " the clock."
)
_LONG_AGO = "{what} dates from {on}: check the day, and the clock."
_BEHIND = "{what} is older than the version before it: one of the two clocks is wrong."
_DOUBTS = {
    "ahead": ("clock_ahead", _AHEAD),
    "long ago": ("clock_long_ago", _LONG_AGO),
    "behind": ("clock_behind", _BEHIND),
}


def say(answer: AddAnswer) -> str:
    """What was recorded, counted; which things have another version now; what was odd."""
    new = [each for each in answer.recorded if each.what != "same"]
    same = [each for each in answer.recorded if each.what == "same"]
    changed = [f"{each.id}@{each.name}" for each in new if each.what == "changed"]
    recorded = "Would record" if answer.dry_run else "Recorded"
    return layout.lines(
        f"{recorded} {_counted(new)}." if new else "Nothing new.",
        f"New versions: {listed(changed, 'and')}." if changed else "",
        f"The same as before: {_counted(same)}." if same else "",
        *(message for _, message in warnings(answer)),
    )


def tell(answer: AddAnswer) -> dict[str, Any]:
    """What was recorded, or would be, as one object.

    ``{"dry_run", "recorded", "warnings"}``

    ``recorded`` holds ``{"kind", "id", "what", "version", "entry"}`` of each; the entry is null
    where nothing was recorded yet.
    """
    return {
        "dry_run": answer.dry_run,
        "recorded": [_recorded(each) for each in answer.recorded],
        "warnings": [{"code": code, "message": message} for code, message in warnings(answer)],
    }


def warnings(answer: AddAnswer) -> Iterator[Message]:
    """Times that cannot be right."""
    for each in answer.recorded:
        if each.doubt:
            code, text = _DOUBTS[each.doubt]
            timed = each.kind in {"reading", "measurement"}
            what = f"A {each.kind} of {each.id}" if timed else f"{each.id}@{each.name}"
            yield code, text.format(what=what, on=each.on[:16].replace("T", " "))


def _recorded(each: Recorded) -> dict[str, Any]:
    return {
        "kind": each.kind,
        "id": each.id,
        "what": each.what,
        "version": number(each.name),
        "entry": each.entry or None,
    }


def _counted(found: Iterable[Recorded]) -> str:
    kinds = Counter(each.kind for each in found)
    return listed([many(count, kind) for kind, count in kinds.items()], "and")
