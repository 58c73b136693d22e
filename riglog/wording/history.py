"""What `history` says: newest first, each version below what was read and said of it."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from riglog.errors import listed, quoted
from riglog.wording import described, kept, layout, readings
from riglog.wording.listing import reading_json

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.jobs.history import Change, Event, HistoryAnswer
    from riglog.jobs.listing import Read
    from riglog.jobs.version_answers import Described, Fate

_NAME_COLUMN = 9
_NOUNS = ("version", "reading", "measurement", "remark")


def say(answer: HistoryAnswer) -> str:
    """One line an event; what came from a fork, or settled one, says so."""
    changes = _changes(answer.events)
    size = max(layout.width(_who(each)) for each in answer.events)
    lines = [_event(each, answer, changes, size) for each in answer.events]
    heads = [f"{answer.id}@{each.kept.version}" for each in changes if each.kept.forked]
    fork = f"Forked: {listed(heads, 'and')} are both newest; nobody settled which counts."
    heading = layout.lines(_heading(answer), fork if heads else "")
    rest = "There is more; ask for more with -n." if answer.more else ""
    return layout.page(heading, "\n".join(lines), rest)


def _heading(answer: HistoryAnswer) -> str:
    counts = Counter(map(_noun, answer.events))
    counted = ", ".join(kept.many(count, noun) for noun in _NOUNS if (count := counts[noun]))
    newest = f"the newest {counted}" if answer.more else f"{counted}, newest first"
    return f"{answer.id}, a {answer.kind}: {newest}"


def _noun(event: Event) -> str:
    """What an event is counted as."""
    from riglog.jobs.history import Change
    from riglog.jobs.listing import Read

    if isinstance(event, Change):
        return "version"
    if isinstance(event, Read):
        return "reading"
    return "remark" if event.measurement is None else "measurement"


def _changes(events: Sequence[Event]) -> list[Change]:
    from riglog.jobs.history import Change

    return [each for each in events if isinstance(each, Change)]


def _who(event: Event) -> str:
    from riglog.jobs.version_answers import Described

    return kept.who(event.author if isinstance(event, Described) else event.kept.author)


def _event(event: Event, answer: HistoryAnswer, changes: list[Change], size: int) -> str:
    from riglog.jobs.history import Change
    from riglog.jobs.version_answers import Described

    if isinstance(event, Change):
        return _change(event, changes, size)
    if isinstance(event, Described):
        return _remark(event, answer.fates.get(event.entry), size)
    return _reading(event, answer.fates.get(event.kept.entry), size)


def _change(change: Change, changes: list[Change], size: int) -> str:
    what = ", ".join(_differs(change)) or "the first"
    if not change.changed and change.after:
        what = "the same"
    if change.undoes:
        what = f"undoes {listed([f'@{name}' for name in change.undoes], 'and')}: {what}"
    if change.why:
        what = f"{what} ({_words(change.why)})"
    if _is_told(change, changes):
        what = f"{what} (from {listed([f'@{name}' for name in change.after], 'and')})"
    name = f"@{change.kept.version}"
    return _line(name, change.kept.at, _who(change), f"{what}{_fate(change.fate)}", size)


def _differs(change: Change) -> Iterator[str]:
    """Which fields; of parts that came and went their names, which say more."""
    if change.came:
        yield f"with {listed(change.came, 'and')}"
    if change.gone:
        yield f"without {listed(change.gone, 'and')}"
    exchanged = change.came or change.gone
    yield from (each for each in change.changed if not (exchanged and each == "parts"))


def _is_told(change: Change, changes: list[Change]) -> bool:
    """Whether a version's parent is not simply the one below it."""
    siblings = [each for each in changes if set(each.after) & set(change.after)]
    return len(change.after) > 1 or len(siblings) > 1


def _reading(read: Read, fate: Fate | None, size: int) -> str:
    mark = "" if read.mark is None else f" at {readings.mark(read.mark, read.pivot)}"
    note = f": {layout.harmless(read.noun.note)}" if read.noun.note else ""
    what = f"{readings.line(read.noun, read.pivot)}{mark}{note}"
    what = f"{what} [{kept.short(read.kept.entry)}]{_fate(fate)}"
    return _line("", read.noun.on, _who(read), what, size)


def _remark(said: Described, fate: Fate | None, size: int) -> str:
    on, at = f" on {_short(said.about[0])}" if said.about else "", said.at
    if said.measurement is not None:
        note = f": {_words(said.measurement.note)}" if said.measurement.note else ""
        what = f"{layout.harmless(described.measurement(said.measurement))}{note}"
        at = said.measurement.on
    elif said.kind == "undo":
        undid = listed([_short(each) for each in said.about[:1]] or ["what is not here"], "and")
        what = f"undid {undid}{f': {_words(said.words)}' if said.words else ''}"
    elif said.kind == "name":
        what = f"named {_short(said.about[0]) if said.about else said.subject} {said.words}"
    elif said.kind == "tag":
        what = (
            f"tagged {_short(said.about[0]) if said.about else said.subject} {quoted(said.words)}"
        )
    else:
        what = f"{said.kind}{on}: {_words(said.words)}"
    return _line("", at, _who(said), f"{what} [{kept.short(said.entry)}]{_fate(fate)}", size)


def _short(told: Described) -> str:
    if told.kind in described.THINGS:
        return f"@{told.version}"
    return f"the {told.kind} {kept.short(told.entry)}"


def _words(text: str) -> str:
    return layout.harmless(" ".join(text.split()))


def _fate(fate: Fate | None) -> str:
    if fate is None:
        return ""
    return f", {fate.how} by {layout.harmless(fate.by)} [{kept.short(fate.entry)}]"


def _line(name: str, at: str, who: str, what: str, size: int) -> str:
    who += " " * (size - layout.width(who))
    start = f"{name:<{_NAME_COLUMN}} {kept.minute(at)}  {who}  "
    return layout.wrapped(what, start, " " * layout.width(start))


def tell(answer: HistoryAnswer) -> list[dict[str, Any]]:
    """An array of versions, readings and what was said of them, newest first.

    ``event`` says which: version, reading, measurement, note, tag, name or undo. A version has
    ``{"id", "version", "name", "entry", "author", "at", "forked", "newest", "after", "changed",
    "came", "gone", "undoes"}``, where ``after`` names the versions before it, ``came`` and ``gone``
    the parts exchanged since that one, and ``undoes`` the versions that it reverses;
    a reading is as ``list readings`` has it; all others have ``words`` and ``about``, and a
    measurement ``on``, when it was made. ``fate`` is null where it counts, else ``{"how", "by",
    "at", "entry"}``: corrected or undone, by whom and when.
    """
    return [_object(each, answer) for each in answer.events]


def _object(event: Event, answer: HistoryAnswer) -> dict[str, Any]:
    from riglog.jobs.history import Change
    from riglog.jobs.version_answers import Described

    if isinstance(event, Change):
        return _change_json(answer, event)
    if isinstance(event, Described):
        fate = described.fate_json(answer.fates.get(event.entry))
        return {"event": event.kind, **described.as_json(event), "fate": fate}
    fate = described.fate_json(answer.fates.get(event.kept.entry))
    return {"event": "reading", **reading_json(event), "fate": fate}


def _change_json(answer: HistoryAnswer, change: Change) -> dict[str, Any]:
    return {
        "event": "version",
        "id": answer.id,
        **kept.as_json(change.kept),
        "newest": change.newest,
        "after": list(change.after),
        "changed": list(change.changed),
        "came": list(change.came),
        "gone": list(change.gone),
        "undoes": list(change.undoes),
        "fate": described.fate_json(change.fate),
    }
