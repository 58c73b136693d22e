"""Warnings: the sentence for each code that jobs can give, and what to do about it.

``leans`` and ``turns_over`` come in two kinds: of the rig when all is done, from the job; and of
a state in between, made here from the passages of a swap.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from riglog.errors import listed
from riglog.records import PivotPair
from riglog.wording import figures, masses, readings
from riglog.wording.layout import harmless
from riglog.wording.terms import PIVOT

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from riglog.jobs.answers import Warned
    from riglog.jobs.swap_answers import Passage
    from riglog.wording.terms import Terms

Message = tuple[str, str]

# A lean that surprises whoever stands beside it: 10 degrees.
FAR_RAD = 0.17453292519943295
_IN_BETWEEN = frozenset({"leans", "turns_over"})

# For each code the fullest sentence first; one that needs a figure nobody gave is passed over.
SENTENCES: Mapping[str, Sequence[str]] = {
    "top_heavy": ["Top heavy where it stands: it tips over, so do not let go of it."],
    "leans": [
        "It would lean {lean}: hold the {held} until it is trimmed.",
        "It would lean far: hold the {held} until it is trimmed.",
    ],
    "turns_over": ["It would turn over: hold the {held}."],
    "beyond_travel": [
        "The {called} would have to go {length} past the end of the travel.",
        "The {called} would have to go past the end of the travel.",
    ],
    "near_travel_end": [
        "Travel left on the {called}: {length}.",
        "There is little travel left on the {called}.",
    ],
    "not_trimmed": [
        "It is not trimmed ({lean}): trim it before its drop time is trusted.",
        "It is not trimmed: trim it before its drop time is trusted.",
    ],
    "over_load": [
        "The {link} carries {mass} and is rated for {rated} at most: take something off.",
        "The {link} carries more than it is rated for: take something off.",
    ],
    "under_load": [
        "The {link} carries {mass} and needs {rated} at least.",
        "The {link} carries less than it needs.",
    ],
    "unlikely_drop": [
        (
            "Not what was expected ({expected}; off by {deviations} standard deviations): look for"
            " a part missing, moved, exchanged or wrongly weighed, and read the mark again."
        ),
        (
            "Not what was expected: look for a part missing, moved, exchanged or wrongly weighed,"
            " and read the mark again."
        ),
    ],
    "wide_scatter": [
        "The times scatter by {time}: drop it again, and let go without a push.",
        "The times scatter widely: drop it again, and let go without a push.",
    ],
    "far_side_habit": [
        (
            "Drops timed by {what} come out {ratio} times as long as all else expects: stop the"
            " watch at the first pass through upright, or say --timed-to far-side."
        ),
        (
            "These drops come out about twice as long as all else expects: stop the watch at the"
            " first pass through upright, or say --timed-to far-side."
        ),
    ],
    "odd_time": [
        "{time} stands apart from the other times; it is kept, and counts: was it a slip?",
        "One time stands apart from the others; it is kept, and counts: was it a slip?",
    ],
    "above_shortest": [
        "So far up, raising the {pivot} further makes the drop longer again, not shorter."
    ],
    "faster_than_possible": [
        "No mark drops faster than {time}: check the times.",
        "No mark drops this fast: check the times.",
    ],
    "wild_reading": [
        "Reading {what} looks like a slip ({share}) and hardly counts.",
        "Reading {what} looks like a slip and hardly counts.",
    ],
    "weighings_disagree": [
        (
            "The weighings of {what} do not agree: weigh it again. Until then it counts as"
            " {weighs}, give or take {spread}; riglog check shows them."
        ),
        "The weighings of {what} do not agree: weigh it again.",
    ],
    "unlikely_friction": [
        (
            "Not what was known of friction (it stayed put within {band}; off by {deviations}"
            " standard deviations): read the angles again, and look for what rubs or came loose: a"
            " cable, a bearing, a clamp."
        ),
        (
            "Not what was known of friction: read the angles again, and look for what rubs or came"
            " loose: a cable, a bearing, a clamp."
        ),
    ],
    "wind": [
        (
            "Wind pushed it: this drop is kept and shown, and counts for nothing else. A shorter"
            " drop does not cure wind; drop it again in a lull before you trust the move."
        )
    ],
    "tether": [
        (
            "A tether pulled on it: this drop is kept and shown, and counts for nothing else. Drop"
            " it again without the tether before you trust the move."
        )
    ],
    "rain_cover": [
        (
            "A rain cover that is no part of the build adds mass high up and drag: this drop is"
            " kept and shown, and counts for nothing else. The move is right while the cover is"
            " on; list it as a part of kind cover to have it count."
        )
    ],
    "marks_too_close": [
        "The marks are too close together to tell: drop it at one more, {apart} away."
    ],
    "unset_pivot": ["Nobody has set a mark for the {pivot} yet: tell it with --mark."],
    "settings_assumed": [
        "The {called} were assumed to stand at {sides}: look at their scales.",
        "The {called} {was} assumed to stand at {setting}: look at {its_scale}.",
        "Where the {called} {stands} was assumed: look at {its_scale}.",
    ],
    "first_mark_clamped": [
        (
            "The safe first mark lies past the end of the travel, and the end is taken instead: it"
            " may be top heavy there, so hold the {held}."
        )
    ],
    "not_marked": ["No mark was told: the move counts from where the {pivot} stood."],
    "tilt_unlisted": [
        "Not all that swings is listed: trim it at rest, and let a pan tell whether it is level."
    ],
    "tilt_untold": [
        (
            "Too little is known of the tilt to move weight for it: trim it at rest, then spin it"
            " and tell what the lens end did."
        )
    ],
    "trim_out_of_reach": [
        "The travels do not reach: {length} off trim is left, so move a part by hand.",
        "The travels do not reach: move a part by hand.",
    ],
    "drop_out_of_reach": [
        "The wanted drop time has no mark within the travel: the {lift} {stays}."
    ],
    "unset_adjuster": ["Nobody said where {what} stands, so it stays: add --set {what}=READING."],
    "slow_pan": [
        (
            "{rate} is below the critical pan rate of {edge}: gravity decided more than the axis;"
            " a faster pan tells more."
        ),
        "So slow a pan is decided by gravity more than by the axis: a faster one tells more.",
    ],
    "untimed_year": [
        (
            "It is dated {date}, which cannot be right: check the day that was told, and this"
            " machine's clock."
        ),
        "Its date cannot be right: check the day that was told, and this machine's clock.",
    ],
    "clock_ahead": [
        (
            "It is dated {date}, which is later than now: check the hour that was told, and this"
            " machine's clock."
        ),
        "It is dated later than now: check the hour that was told, and this machine's clock.",
    ],
    "live_head": [
        (
            "Switch the powered head off before anything comes off it: live, it would turn the"
            " frame with {torque}."
        ),
        "Switch the powered head off before anything comes off it: live, it would turn the frame.",
    ],
    "not_rebalanced": [
        (
            "Not balanced anew on its head: the head holds {torque}, and drops with the nose up and"
            " down differ by {apart_s}."
        ),
        "Not balanced anew on its head: the head holds {torque}, and a drop may not come upright.",
        "Not balanced anew on its head: drops with the nose up and down differ.",
    ],
    "kept_out": [
        "Taken under {what}: it is kept and shown, and counts for nothing.",
    ],
    "askew": [
        (
            "The two sides stand at different readings: the axis lies askew. Set both to one"
            " reading before its drop time is trusted."
        )
    ],
    "cant": [
        (
            "The two sides stand at different readings: the camera is canted by {angle}, its"
            " {low_side} side low."
        ),
        "The two sides stand at different readings: the camera is canted.",
    ],
}


def messages(
    warnings: Iterable[Warned], terms: Terms, passages: Sequence[Passage] = ()
) -> list[Message]:
    """Code and sentence of each warning, those of the states in between first.

    Parameters
    ----------
    warnings
        As the job gave them. One that says again what a passage says is left out.
    terms
        The words of the rig.
    passages
        The states between the steps; those that hang nearly upright need no warning.
    """
    between = [_passage_message(each, terms) for each in passages if is_far(each)]
    told = {part for passage in passages for part in passage.parts}
    others = [each for each in warnings if each.code not in _IN_BETWEEN or each.what not in told]
    return list(dict.fromkeys(between + [(each.code, sentence(each, terms)) for each in others]))


def sentence(warned: Warned, terms: Terms) -> str:
    """The sentence for one warning; a code that has none is shown as it is."""
    for text in SENTENCES.get(warned.code, ()):
        names = re.findall(r"{(\w+)}", text)
        fields = {name: _FIELDS[name](warned, terms) for name in names}
        if None not in fields.values():
            return text.format_map(fields)
    return f"{harmless(warned.code).replace('_', ' ').capitalize()}."


def dated(warned: Warned) -> str:
    """The sentence for a date that cannot be right."""
    return SENTENCES[warned.code][0].format(date=harmless(warned.what))


def is_far(passage: Passage) -> bool:
    """Whether somebody has to hold the rig through a state in between."""
    return passage.turns_over or abs(passage.lean_rad) >= FAR_RAD


def leaning(lean_rad: float) -> str:
    """How far and which way it hangs: ``38 deg, nose up``."""
    return f"{figures.degrees(lean_rad)}, nose {'down' if lean_rad > 0 else 'up'}"


def _passage_message(passage: Passage, terms: Terms) -> Message:
    parts = listed(map(harmless, passage.parts), "and")
    if passage.after == "turn-over":
        when = "when the rig is turned over"
    elif passage.after == "take-off":
        when = f"before {parts} {'comes' if len(passage.parts) == 1 else 'come'} off"
    else:
        when = f"with {parts} on, until it is trimmed"
    if passage.turns_over:
        return "turns_over", f"Hold the {terms.held} {when}: let go, it would turn over."
    lean = leaning(passage.lean_rad)
    return "leans", f"Hold the {terms.held} {when}: let go, it would lean {lean}."


def _adjuster(warned: Warned) -> str:
    return warned.what or "pivot"


def _is_several(warned: Warned, terms: Terms) -> bool:
    """Whether a ring's two pivots are meant."""
    return terms.plural and _adjuster(warned) == PIVOT


def _length(warned: Warned, terms: Terms) -> str | None:
    if warned.figure is None:
        return None
    unit = terms.scale(_adjuster(warned)).unit
    return f"{figures.fine(abs(warned.figure), unit)} {unit}"


def _setting(warned: Warned, terms: Terms) -> str | None:
    if warned.figure is None:
        return None
    return figures.setting(warned.figure, terms.scale(_adjuster(warned)))


def _sides(warned: Warned, terms: Terms) -> str | None:
    """The readings of a ring's two sides, where they differ: ``221/224 mm``."""
    if warned.figure is None or warned.other is None:
        return None
    return readings.mark(
        PivotPair(left=warned.figure, right=warned.other), terms.scale(_adjuster(warned))
    )


def _mass(mass_kg: float | None, terms: Terms, show: Callable[[float, str], str]) -> str | None:
    return None if mass_kg is None else show(mass_kg, terms.unit)


def _figure(show: Callable[[float], str]) -> Callable[[Warned, Terms], str | None]:
    return lambda warned, _: None if warned.figure is None else show(warned.figure)


def _other(show: Callable[[float], str]) -> Callable[[Warned, Terms], str | None]:
    return lambda warned, _: None if warned.other is None else show(warned.other)


_FIELDS: Mapping[str, Callable[[Warned, Terms], str | None]] = {
    "what": lambda warned, _: harmless(warned.what),
    "date": lambda warned, _: harmless(warned.what) or None,
    "link": lambda warned, _: harmless(warned.what) or "rig",
    "called": lambda warned, terms: terms.labeled(_adjuster(warned)),
    "was": lambda warned, terms: "were" if _is_several(warned, terms) else "was",
    "its_scale": lambda warned, terms: (
        "their scales" if _is_several(warned, terms) else "its scale"
    ),
    "pivot": lambda _, terms: terms.pivot,
    "lift": lambda _, terms: terms.lift,
    "stays": lambda _, terms: "stay" if terms.lift_stands == "stand" else "stays",
    "held": lambda _, terms: terms.held,
    "stands": lambda warned, terms: "stand" if _is_several(warned, terms) else "stands",
    "sides": _sides,
    "length": _length,
    "setting": _setting,
    "apart": lambda _, terms: figures.apart(terms.unit),
    "lean": _figure(leaning),
    "angle": _figure(figures.degrees),
    "rate": _figure(figures.pan_rate),
    "band": _other(figures.degrees),
    "edge": _other(figures.pan_rate),
    "low_side": _figure(lambda side_rad: "right" if side_rad > 0 else "left"),
    "time": _figure(figures.seconds),
    "ratio": _figure(lambda ratio: f"{abs(ratio):.1f}"),
    "expected": _other(figures.seconds),
    "torque": _figure(figures.torque),
    "apart_s": _other(figures.seconds),
    "deviations": _figure(lambda count: f"{abs(count):.1f}"),
    "mass": lambda warned, terms: _mass(warned.figure, terms, masses.on_rig),
    "rated": lambda warned, terms: _mass(warned.other, terms, masses.on_rig),
    "weighs": lambda warned, terms: _mass(warned.figure, terms, masses.weighed),
    "spread": lambda warned, terms: _mass(warned.other, terms, masses.on_rig),
    "share": _figure(figures.percent),
}
