"""What an answer rests on, what it took for granted, and what one more measurement would bring."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import listed
from riglog.wording import figures, margins, masses
from riglog.wording.layout import harmless

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Evidence, Load, NextRung
    from riglog.jobs.remembered_answers import Remembered
    from riglog.wording.terms import Terms

_NAMED = 3
_NEAR = 0.9
_WHOLE = "rig"  # the link that a single rating stands for
_ENTRY = 8
_RUNGS = {
    "weigh": "weigh {what}",
    "edge": "balance {what} on an edge, 20 seconds without a scale",
    "drop": "time a drop of {what}",
    "two-marks": "time drops of {what} at a second mark, {apart} away",
}


def rests_on(evidence: Evidence) -> str:
    """One line: what was used, and what was taken for granted."""
    others = max(evidence.readings - evidence.drops, 0)
    used = [
        _counted(evidence.drops, "drop test", "drop tests"),
        _counted(others, "other reading", "other readings"),
    ]
    counts = listed(filter(None, used), "and") if any(used) else "no reading at all"
    granted = "; ".join(_granted(evidence))
    sentences = [
        f"Rests on {counts}.",
        _kept_out(evidence),
        f"Taken for granted: {granted}." if granted else "",
    ]
    return " ".join(filter(None, sentences))


def next_rung(rung: NextRung | None, terms: Terms) -> str:
    """What would narrow the answer, and by how much; nothing where nothing would."""
    if rung is None:
        return ""
    what = _RUNGS.get(rung.do, "{do} {what}").format(
        do=rung.do, what=harmless(rung.what), apart=figures.apart(terms.unit)
    )
    now, then = (figures.fine(half_m, terms.unit) for half_m in (rung.now_m, rung.then_m))
    return f"To know more, {what}: {now} {terms.unit} either way becomes {then} {terms.unit}."


def margin(margin_kg: float | None, drop_s: float, terms: Terms) -> str:
    """How little makes it neutral at a drop time."""
    if margin_kg is None:
        return ""
    at = f"At {figures.seconds(drop_s)}, {margins.neutral(margin_kg, terms)}"
    return f"{at} would make it neutral."


def loads(carried: Sequence[Load], terms: Terms) -> str:
    """Links against their ratings; a rating of the whole rig only where it is near or passed."""
    shown = [_load(each, terms.unit) for each in carried if each.link != _WHOLE or _state(each)]
    return f"Load: {'; '.join(shown)}." if shown else ""


def worn(worn_kg: float | None, terms: Terms) -> str:
    """All that a person carries; how much is safe nobody can say."""
    return "" if worn_kg is None else f"Carried in all: {masses.on_rig(worn_kg, terms.unit)}."


def remembered(settings: Sequence[Remembered], terms: Terms) -> str:
    """What else was set when about this much hung there."""
    return " ".join(
        f"At {masses.on_rig(each.mass_kg, terms.unit)} you last had {harmless(each.key)} at"
        f" {harmless(each.said)} ({each.build})."
        for each in settings
    )


def entry(entry_id: str) -> str:
    """As much of an entry's id as a person compares."""
    return harmless(entry_id[:_ENTRY])


def _counted(count: int, one: str, several: str) -> str:
    return f"{count} {one if count == 1 else several}" if count else ""


def _granted(evidence: Evidence) -> list[str]:
    found = []
    if evidence.unweighed:
        found.append(f"the usual weight of {_names(evidence.unweighed)}, never weighed")
    if evidence.unlisted:
        found.append("the usual weight and size for all that nobody listed")
    if evidence.unset:
        found.append(f"zero on the scale of {_names(evidence.unset)}, never set")
    if evidence.on_head:
        found.append("what sits on the powered head balanced on it")
    if evidence.disputed:
        found.append(f"the middle of the weighings of {_names(evidence.disputed)}, which disagree")
    if evidence.doubted:
        slips = (f"{entry(name)} ({figures.percent(sure)})" for name, sure in evidence.doubted)
        found.append(f"a slip in reading {_names(list(slips))}")
    return found


def _kept_out(evidence: Evidence) -> str:
    """Readings that were recorded under conditions, and so do not count."""
    if not evidence.kept_out:
        return ""
    found = [f"{entry(name)} ({listed(why, 'and')})" for name, why in evidence.kept_out]
    return f"Kept out of it: {_names(found)}."


def _names(names: Sequence[str]) -> str:
    """The first few of several names, and how many more there are."""
    shown = [harmless(name) for name in names[:_NAMED]]
    more = len(names) - len(shown)
    return listed([*shown, f"{more} more"] if more else shown, "and")


def _load(load: Load, unit: str) -> str:
    symbol, state = masses.large(unit), _state(load)
    shown = (load.least_kg, load.mass_kg, load.greatest_kg)
    least, mass, greatest = ("" if m is None else masses.alone(m, symbol, 1) for m in shown)
    rated = f"{least} to {greatest}" if least else greatest
    carried = f"{harmless(load.link)} {mass} of {rated} {symbol}"
    return f"{carried}, {state}" if state else carried


def _state(load: Load) -> str:
    if load.mass_kg > load.greatest_kg:
        return "more than it is rated for"
    if load.least_kg is not None and load.mass_kg < load.least_kg:
        return "less than it needs"
    return "near its rating" if load.mass_kg >= _NEAR * load.greatest_kg else ""
