"""What to do, one sentence a step, in the order of work."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.wording import figures, moves
from riglog.wording.layout import capital, harmless
from riglog.wording.terms import PIVOT, Terms

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from riglog.jobs.answers import Value
    from riglog.jobs.swap_answers import Step

_SIDE_FIRST = "side to side first, then fore and aft"
_LET = {"level": "let it level", "follow": "let it follow the frame", "locked": "lock it"}
_TRIMS = {"x": "fore and aft", "y": "side to side"}


class Job(NamedTuple):
    """What the steps of one answer have in common: its words and the drop expected first."""

    terms: Terms
    expected_s: Value


def sentence(step: Step, job: Job) -> str:
    """One step, as one says it to whoever does it."""
    return capital(_SENTENCES[step.do](step, job))


def _hold(_step: Step, job: Job) -> str:
    return f"One person holds the {job.terms.held} from here on, until it is trimmed."


def _take_off(step: Step, _job: Job) -> str:
    return f"Take off {harmless(step.what)}."


def _fit(step: Step, _job: Job) -> str:
    return f"Fit {harmless(step.what)}."


def _head_off(_step: Step, _job: Job) -> str:
    return "Switch the powered head off, with what sits on it supported: it goes limp."


def _balance_head(step: Step, _job: Job) -> str:
    return (
        "Balance what sits on the powered head, switched off, until it stays where it is put; then"
        f" switch it on, hands clear, and {_LET[step.what]}."
    )


def _head_on(step: Step, job: Job) -> str:
    return (
        f"With the {job.terms.held} held, switch the powered head on, hands clear, and"
        f" {_LET[step.what]}."
    )


def _set_head(step: Step, _job: Job) -> str:
    return f"At the powered head, hands clear: {_LET[step.what]}."


def _turn_over(step: Step, job: Job) -> str:
    ends = {"post": ", a hand at each end"}.get(job.terms.type, ", a hand on each side")
    side = "down" if step.what == "low" else "up"
    end = "the camera end" if job.terms.type == "post" else "its top"
    return f"Turn the rig over to {step.what} mode, {end} {side}{ends}."


def _hang(step: Step, _job: Job) -> str:
    if not step.by:
        return f"Set {harmless(step.what)} on its base."
    return f"Hang {harmless(step.what)} by its {harmless(step.by)}."


def _turn(step: Step, _job: Job) -> str:
    angle = figures.degrees(step.figure or 0.0)
    return f"Turn {harmless(step.what)} by {angle} about its fore-aft axis."


def _set(step: Step, job: Job) -> str:
    """Coarse slides; the reading is left out where the job gives none."""
    name = step.what or PIVOT
    scale = job.terms.scale(name)
    if step.to_m is None:
        return f"{moves.by_hand(name, step.toward, job.terms)}."
    to = f"to {figures.setting(step.to_m, scale)}."
    if not moves.has_way(step.toward):
        return f"{moves.by_hand(name, step.toward, job.terms)} {to}"
    by = "" if step.move_m is None else f" by {figures.distance(step.move_m, scale)}"
    words = moves.by_hand(name, step.toward, job.terms, by)
    sides = moves.each_side(step.sides, step.to_m, job.terms)
    return f"{words}, {to.removesuffix('.')}{sides}."


def _trim(step: Step, job: Job) -> str:
    if not step.what:
        # A ring hangs level across, held by both its pivots.
        ways = _TRIMS["x"] if job.terms.plural else _SIDE_FIRST
        return f"Trim it {ways}, until it hangs upright."
    along = _TRIMS.get(job.terms.scale(step.what).axis, _SIDE_FIRST)
    return f"Trim it {along} with the {job.terms.called(step.what)}, until it hangs upright."


def _first_mark(step: Step, job: Job) -> str:
    supported = "frame" if job.terms.plural else "rig"
    name = step.what or PIVOT
    words = moves.by_hand(name, step.toward, job.terms)
    if step.to_m is None:
        return f"With the {supported} supported, {words}."
    to = figures.setting(step.to_m, job.terms.scale(name))
    comma = "," if moves.has_way(step.toward) else ""
    sides = moves.each_side(step.sides, step.to_m, job.terms)
    return f"With the {supported} supported, {words}{comma} to the first mark: {to}{sides}."


def _drop(step: Step, job: Job) -> str:
    words = "Drop it once from horizontal and time it to upright"
    if step.figure is not None:
        return f"{words}: about {figures.seconds(step.figure)}."
    if job.expected_s.value is not None:
        return f"{words}: about {figures.drop_time(job.expected_s)}."
    return f"{words}."


def _move(step: Step, job: Job) -> str:
    name = step.what or PIVOT
    scale = job.terms.scale(name)
    pivot = f"Move the {job.terms.called(name)} as the answer to that drop says"
    if step.move_m is None or step.to_m is None:
        return f"{pivot}."
    about = moves.two_words(step.toward, step.move_m, scale)
    return f"{pivot}: about {about}, to {figures.setting(step.to_m, scale)}."


def _trim_again(_step: Step, job: Job) -> str:
    if not job.terms.sets:
        return "Trim it again."
    return f"Trim it again, and mark where the {job.terms.lift} now {job.terms.lift_stands}."


_SENTENCES: Mapping[str, Callable[[Step, Job], str]] = {
    "hold": _hold,
    "take-off": _take_off,
    "turn-over": _turn_over,
    "fit": _fit,
    "head-off": _head_off,
    "balance-head": _balance_head,
    "head-on": _head_on,
    "set-head": _set_head,
    "hang": _hang,
    "turn": _turn,
    "set": _set,
    "trim": _trim,
    "first-mark": _first_mark,
    "drop": _drop,
    "move": _move,
    "trim-again": _trim_again,
}
