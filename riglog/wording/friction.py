"""The answer to readings that tell friction: swings, and the hold band."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import evidence, figures, layout, objects, readings, warned
from riglog.wording.terms import terms_of

if TYPE_CHECKING:
    from riglog.jobs.answers import Value
    from riglog.jobs.friction_answers import Friction, FrictionAnswer
    from riglog.wording.objects import Json

# Less than this added to a drop is nothing that anybody times [s].
_NOTICED_S = 0.05
# Where friction was never told, a hold band is shown from here on [rad]: 2 degrees.
_MATTERS_RAD = 0.03490658503988659
# A hold band up to horizontal is one without an end [rad].
_ANY_RAD = 1.5707963


def say(answer: FrictionAnswer) -> str:
    """The answer as a page of text; its first line tells what was learned."""
    terms = terms_of(answer.named, answer.pivot)
    told = [text for _, text in warned.messages(answer.warnings, terms)]
    return layout.page(
        layout.lines(_spoken(answer)),
        layout.lines(_recorded(answer), _drop(answer), _before(answer), _ask(answer)),
        layout.listing("Mind:", told),
        layout.lines(evidence.rests_on(answer.evidence)),
    )


def tell(answer: FrictionAnswer) -> Json:
    """What is known of friction with the reading, as one object.

    ``{"build", "version", "entry", "recorded", "reading", "pivot_mm", "period_s", "friction",
    "before", "drop_s", "expected", "deviations", "evidence", "warnings"}``

    ``friction``, and ``before`` without the reading, are each ``{"torque_n_m", "hold_deg",
    "told", "adds_s"}``: the torque at the pivot, the tilt from rest within which it stays put,
    whether readings told them, and by how much that lengthens the drop from horizontal. They,
    ``drop_s`` where it stands, and ``expected`` before the reading are each ``{"value", "low",
    "high"}``. ``deviations`` is how many standard deviations more friction the reading shows than
    readings had told before, null where none had. ``reading`` is what was recorded.
    """
    terms = terms_of(answer.named, answer.pivot)
    return {
        **objects.named(answer.named),
        "recorded": answer.recorded,
        "reading": readings.figures_json(answer.reading),
        **readings.mark_json(answer.mark),
        "period_s": objects.number(answer.period_s, "s"),
        "friction": known_json(answer.after),
        "before": known_json(answer.before),
        "drop_s": objects.value(answer.drop_s, "s"),
        "expected": {"drop_s": objects.value(answer.expected_s, "s")},
        "deviations": objects.number(answer.surprise, "s"),
        "evidence": objects.evidence(answer.evidence),
        "warnings": objects.warnings(warned.messages(answer.warnings, terms)),
    }


def known_json(known: Friction) -> Json:
    """The torque, the hold band, and what it adds to a drop."""
    return {
        "torque_n_m": objects.value(known.torque_n_m, "N m"),
        "hold_deg": objects.value(known.hold_rad, "deg"),
        "told": known.told,
        "adds_s": objects.number(known.adds_s, "s"),
    }


def facts(known: Friction) -> list[tuple[str, str]]:
    """Rows of a page where friction matters: where it was told, or holds a rig off upright."""
    tilt = known.hold_rad.value
    if tilt is None or not (known.told or tilt >= _MATTERS_RAD):
        return []
    usual = "" if known.told else ", as is usual"
    return [("friction holds within", f"{figures.angle(known.hold_rad)}{usual}")]


def _spoken(answer: FrictionAnswer) -> str:
    if not answer.after.told:
        drop = figures.drop_time(answer.drop_s)
        if answer.period_s is None or answer.drop_s.value is None:
            return "Recorded; how large friction is it does not tell yet."
        return f"A swing takes {figures.seconds(answer.period_s)}: it drops in {drop}."
    torque = figures.friction(answer.after.torque_n_m)
    return f"Friction {torque}: it stays put {_within(answer.after.hold_rad)}."


def _within(tilt_rad: Value) -> str:
    if tilt_rad.value is None:
        return "nowhere, for it is top heavy"
    if tilt_rad.value >= _ANY_RAD:
        return "at any tilt, so near neutral is it"
    return f"within {figures.degrees(tilt_rad.value)} of where it hangs"


def _recorded(answer: FrictionAnswer) -> str:
    at = "" if answer.mark is None else f" at {readings.mark(answer.mark, answer.pivot)}"
    what = readings.figures_of(answer.reading, answer.pivot)
    return f"{answer.named.build}{at}: {what}. Recorded as {evidence.entry(answer.recorded)}."


def _drop(answer: FrictionAnswer) -> str:
    if answer.drop_s.value is None:
        return ""
    adds = ""
    if answer.after.adds_s is not None and answer.after.adds_s >= _NOTICED_S:
        adds = f", {figures.seconds(answer.after.adds_s)} of it by friction"
    expected = ""
    if answer.expected_s.value is not None:
        expected = f" Expected before: {figures.drop_time(answer.expected_s)}."
    return f"It drops in {figures.drop_time(answer.drop_s)} there{adds}.{expected}"


def _before(answer: FrictionAnswer) -> str:
    if not answer.before.told:
        return ""
    known = f"Friction was known before: {figures.friction(answer.before.torque_n_m)}"
    if answer.surprise is None:
        return f"{known}."
    return f"{known}; {figures.how_unusual(answer.surprise, 'readings')}."


def _ask(answer: FrictionAnswer) -> str:
    """What would tell friction, where this did not."""
    if answer.after.told:
        return ""
    if answer.reading.kind == "swing" and answer.reading.end is None:
        return "Tell the angle of the last swing too, as --to 8deg, and it tells friction."
    return (
        "Swings that die away tell friction best: let it swing from 30 deg, count, and read the"
        " angle of the last."
    )
