"""What `find` says: where to start, then each find with what sets it apart from now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.jobs.answers import Value
from riglog.records.readings.measured import mean_s
from riglog.wording import figures, kept, layout, moves, objects, readings
from riglog.wording.terms import Terms

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.find_answers import Compared, FindAnswer, Found, Now

_INDENT = "   "


def say(answer: FindAnswer) -> str:
    """The answer as a page of text; its first line can be called across a set."""
    return layout.page(
        layout.lines(_spoken(answer)),
        layout.lines(_apart(answer), _compared(answer)),
        "\n".join(_blocks(answer)),
    )


def tell(answer: FindAnswer) -> list[dict[str, Any]]:
    """An array, the nearest first.

    Each is ``{"build", "version", "name", "entry", "reading", "on", "author", "rig", "note",
    "tags", "times_s", "drop_s", "common", "gone", "come", "moved", "other", "now", "why"}`` with
    the mark as ``list`` has it. ``reading`` is the entry of the reading that tells the mark, null
    where the build alone does. ``gone`` are the parts that it had and the build compared with has
    not, ``come`` the other way round, ``moved`` those that sit elsewhere, ``other`` is rig or mode
    where those differ. ``now`` is ``{"build", "after", "pivot_mm": {"value", "low", "high"},
    "set_mm", "first_mm", "drop_s", "as_wanted", "disputed"}``: the mark at which the build compared
    with drops in that time, with ``after`` on it, and the safe one to start from; the time, and
    whether it is the wanted one since nobody timed it; and components whose weighings disagree.
    It is null where there is no such mark, and ``why``. Where guides lie fore and
    aft, the key has the name of what sets the drop in place of ``pivot``.
    """
    return [_find(each, answer.compared) for each in answer.found]


def _spoken(answer: FindAnswer) -> str:
    """Where to start, as it was; or where it was."""
    first = answer.found[0]
    was = f"{first.build}@{first.version} at {_where(first)}, {_when(first)}"
    if first.now is None or answer.compared is None:
        return f"{was}."
    start = figures.spoken(first.now.first_m, first.now.marked.adjuster)
    called = layout.capital(", ".join(_settings(first.now, answer.compared)))
    if first.now.as_wanted:
        wanted = figures.seconds(first.now.drop_s)
        return f"{called}, start at {start}, for {wanted} as wanted. Last: {was}."
    return f"{called}, start at {start}: as {was}."


def _settings(now: Now, compared: Compared) -> Iterator[str]:
    """Where the adjusters go: what sets the drop always, the others where they move."""
    moved = [now.marked, *(move for move in now.others if not moves.stands_still(move))]
    terms = Terms(compared.type, compared.mode, {move.name: move.adjuster for move in moved})
    for move in moved:
        yield f"{terms.labeled(move.name)} to {figures.spoken(move.set_m, move.adjuster)}"


def _apart(answer: FindAnswer) -> str:
    return "Nothing has all of them together; what has the most comes first." * answer.apart


def _compared(answer: FindAnswer) -> str:
    """What they are held against, and what could not be put on it."""
    now = answer.compared
    if now is None:
        return "No build is in use to compare them with: riglog use BUILD takes one."
    after = f" with {layout.harmless(now.after)}" if now.after else ""
    why = f" No mark for now: {now.why}." if now.why else ""
    return f"Compared with {now.build}@{now.version}{after}.{why}{_disputed(answer)}"


def _disputed(answer: FindAnswer) -> str:
    """What the marks for now take for granted."""
    names = next((each.now.disputed for each in answer.found if each.now), ())
    if not names:
        return ""
    return f" The weighings of {listed(names, 'and')} disagree: their middle is taken."


def _blocks(answer: FindAnswer) -> Iterator[str]:
    for number, each in enumerate(answer.found, 1):
        name = f"{each.build}@{each.version}"
        head = f"{number}. {name} at {_where(each)}, {_when(each)}, {kept.who(each.author)}"
        yield layout.wrapped(head, "", _INDENT)
        for line in (*_apart_from(each, answer.compared), _now(each), _words(each)):
            if line:
                yield layout.wrapped(line, _INDENT, _INDENT)


def _where(found: Found) -> str:
    """The mark, and the drop time there."""
    mark = readings.mark(found.mark, found.pivot) if found.mark is not None else "no mark"
    return f"{mark}, {_drop(found)}"


def _drop(found: Found) -> str:
    if not found.times_s:
        return "not timed"
    condition = "" if found.plain else " (not a plain drop)"
    return f"{figures.seconds(mean_s(found.times_s))}{condition}"


def _when(found: Found) -> str:
    return kept.minute(found.on)


def _apart_from(found: Found, now: Compared | None) -> Iterator[str]:
    """What differs, in the order of its weight."""
    if now is None:
        return
    told = [
        *(["on another rig"] if "rig" in found.other else []),
        *(["in the other mode"] if "mode" in found.other else []),
        *([f"with {listed(found.gone, 'and')}"] if found.gone else []),
        *([f"without {listed(found.come, 'and')}"] if found.come else []),
        *([f"with {listed(found.moved, 'and')} elsewhere"] if found.moved else []),
    ]
    yield f"then {', '.join(told)}" if told else "the same parts"


def _now(found: Found) -> str:
    """The mark for now, with its interval."""
    if found.now is None:
        return f"no mark for now: {found.why}" if found.why and found.times_s else ""
    wanted = "the wanted " if found.now.as_wanted else ""
    mark, scale = found.now.marked, found.now.marked.adjuster
    between = figures.span(mark.low_m, mark.high_m, scale.unit)
    return (
        f"now {figures.setting(mark.set_m, scale)} ({between}) for"
        f" {wanted}{figures.seconds(found.now.drop_s)},"
        f" start at {figures.setting(found.now.first_m, scale)}"
    )


def _words(found: Found) -> str:
    """A person's own words."""
    tags = f"[{', '.join(map(layout.harmless, found.tags))}]" if found.tags else ""
    return " ".join(filter(None, [layout.harmless(found.note), tags]))


def _find(found: Found, compared: Compared | None) -> dict[str, Any]:
    return {
        "build": found.build,
        "version": kept.number(found.version),
        "name": found.version,
        "entry": found.entry,
        "reading": found.reading or None,
        "on": found.on,
        "author": found.author,
        "rig": found.rig,
        **readings.mark_json(found.mark),
        "times_s": [objects.number(each, "s") for each in found.times_s],
        "drop_s": mean_s(found.times_s) if found.times_s else None,
        "note": found.note,
        "tags": list(found.tags),
        "common": found.common,
        "gone": list(found.gone),
        "come": list(found.come),
        "moved": list(found.moved),
        "other": list(found.other),
        "now": _mark(found.now, compared),
        "why": found.why or None,
    }


def _mark(now: Now | None, compared: Compared | None) -> dict[str, Any] | None:
    if now is None or compared is None:
        return None
    mark = now.marked
    return {
        "build": compared.build,
        "after": compared.after,
        f"{mark.name}_mm": objects.value(Value(mark.to_m, mark.low_m, mark.high_m), "mm"),
        "set_mm": objects.number(mark.set_m, "mm"),
        "first_mm": objects.number(now.first_m, "mm"),
        "drop_s": objects.number(now.drop_s, "s"),
        "as_wanted": now.as_wanted,
        "disputed": list(now.disputed),
        "settings": [
            {
                "adjuster": move.name,
                "to_mm": objects.number(move.to_m, "mm"),
                "set_mm": objects.number(move.set_m, "mm"),
            }
            for move in now.others
        ],
    }
