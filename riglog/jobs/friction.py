"""`swing` and `hold`: readings that tell friction, recorded, and what is known with them."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, quoted
from riglog.jobs.answers import Warned
from riglog.jobs.circumstances import Circumstances, Taken, taken
from riglog.jobs.common import assumed_to_stand, named
from riglog.jobs.dated import odd_date
from riglog.jobs.drop_times import drop_value
from riglog.jobs.evidence import doubts, evidence_of
from riglog.jobs.friction_answers import Friction, FrictionAnswer, HoldAnswer, SwingAnswer
from riglog.jobs.friction_known import friction_of, surprise
from riglog.jobs.heads import refuse_head
from riglog.library.evidence import kit_for
from riglog.logbook.entry import now
from riglog.records import Hold, Swing
from riglog.units import RADIAN, SECOND, parse_loose

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.estimation.hanging import Hanging
    from riglog.jobs.answers import Value
    from riglog.library import Library

MOST_SWINGS, LONGEST_S = 999, 600.0
# Further off than this, a reading is worth a second look.
_UNLIKELY_SD = 3.0
_HALF_TURN = 3.141592653589793


class SwingQuestion(NamedTuple):
    """Swings as typed: how many, in what time, from which angle to which."""

    said: Circumstances
    swings: str
    time: str
    start: str
    end: str | None = None


class HoldQuestion(NamedTuple):
    """A hold band as typed: the farthest tilt at which it stays, the least at which it falls."""

    said: Circumstances
    stays: str | None = None
    falls: str | None = None


def swing(library: Library, question: SwingQuestion) -> SwingAnswer:
    """Record swings first, then answer.

    Raises
    ------
    CallError
        If a word of it is wrong; then nothing is recorded.
    NoAnswerError
        If its powered head is switched off; then nothing is recorded either.
    """
    where = taken(library, question.said)
    count, time = _swings(question.swings), _time(question.time)
    start = _angle(question.start)
    end = None if question.end is None else _angle(question.end)
    if end is not None and end > start:
        raise CallError("the swings grow", hint="tell the first angle as --from, the last as --to")
    reading = Swing(**where.fields, swings=count, time=time, start=start, end=end)  # type: ignore[arg-type]  # one by one they fit
    return SwingAnswer(*_answered(library, where, reading))


def hold(library: Library, question: HoldQuestion) -> HoldAnswer:
    """Record a hold band first, then answer; raises as ``swing``."""
    where = taken(library, question.said)
    stays = None if question.stays is None else _angle(question.stays)
    falls = None if question.falls is None else _angle(question.falls)
    if stays is None and falls is None:
        raise CallError("no tilt was told", hint="add --stays 4deg, or --falls 6deg, or both")
    if stays is not None and falls is not None and stays >= falls:
        hint = "tell the farthest tilt at which it stays, the least at which it falls"
        raise CallError("it stays at more than it falls at", hint=hint)
    reading = Hold(**where.fields, stays=stays, falls=falls)  # type: ignore[arg-type]  # as above
    return HoldAnswer(*_answered(library, where, reading))


def _answered(library: Library, where: Taken, reading: Swing | Hold) -> FrictionAnswer:
    before = hanging_of(library, where)
    refuse_head(before, where.head)
    recorded = library.record_reading(reading, version=where.standing.name).entry
    after, known = hanging_of(library, where), friction_of(before)
    off = None if where.conditions else surprise(before, reading)
    return FrictionAnswer(
        named=named(where.standing, after),
        recorded=recorded,
        reading=reading,
        pivot=after.tree.scales[after.tree.pivot],
        mark=where.mark,
        period_s=reading.time / reading.swings if isinstance(reading, Swing) else None,
        before=known,
        after=friction_of(after),
        expected_s=_drop(before),
        drop_s=_drop(after),
        evidence=evidence_of(after),
        warnings=(*_unlikely(off, known), *reading_warnings(after, where)),
        surprise=off,
    )


def _unlikely(off: float | None, known: Friction) -> Iterator[Warned]:
    """A reading that contradicts what was known of friction."""
    if off is not None and abs(off) > _UNLIKELY_SD:
        yield Warned("unlikely_friction", "", off, known.hold_rad.value)


def hanging_of(library: Library, where: Taken) -> Hanging:
    """The build where it stood, by all that was recorded up to now."""
    from riglog.estimation.inference import Inference

    return Inference(kit_for(library.logbook, [where.hung], []), [where.hung]).stands[0]


def reading_warnings(after: Hanging, where: Taken) -> Iterator[Warned]:
    """What to mind about a reading of any kind."""
    if where.conditions:
        yield Warned("kept_out", " and ".join(where.conditions))
    if where.mark is None:
        yield Warned("unset_pivot", "pivot")
    elif "pivot" not in where.settings:
        yield assumed_to_stand(after.hung.settings.get("pivot"))
    yield from odd_date(where.on, now())
    yield from doubts(evidence_of(after))


def _drop(hanging: Hanging) -> Value:
    from riglog.jobs.answers import Value

    if "pivot" not in hanging.hung.settings:
        return Value(None, None, None)
    return drop_value(hanging.depth(), float(hanging.hangs.gyration_m2[0]))


def _swings(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 0 < int(text[:9]) <= MOST_SWINGS):
        hint = f"count whole swings there and back, 1 to {MOST_SWINGS}"
        raise CallError(f"{quoted(text)} is no number of swings", hint=hint)
    return int(text)


def _time(text: str) -> float:
    time_s = parse_loose(text, SECOND, "s")
    if not 0 < time_s <= LONGEST_S:
        hint = f"swings take more than 0 and at most {LONGEST_S:.0f} s"
        raise CallError(f"{quoted(text)} is no time of swings", hint=hint)
    return time_s


def _angle(text: str) -> float:
    angle = parse_loose(text, RADIAN, "deg")
    if not 0 < angle < _HALF_TURN:
        hint = "write an angle above 0 and under 180 deg"
        raise CallError(f"{quoted(text)} is no tilt from where it hangs", hint=hint)
    return angle
