"""The fine move after a drop test: called out, spelled out, and how sure it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import commands, figures, layout, moves
from riglog.wording.terms import PIVOT, Terms

if TYPE_CHECKING:
    from riglog.jobs.drop_answers import DropAnswer


def called_out(answer: DropAnswer, terms: Terms) -> str:
    """The line that is said aloud: ``Gimbal up 1.5, to 488.5: then 3.9 s becomes 3.0 s.``."""
    measured, at = figures.seconds(answer.measured_s), _where(answer)
    if answer.wanted_s is None or answer.move_m is None:
        return f"Recorded: {measured}{at}."
    if fits(answer):
        wanted = figures.seconds(answer.wanted_s)
        beside = "" if wanted == measured else f" ({wanted} wanted)"
        return f"That is it: {measured}{beside}, leave the {terms.lift}{at}."
    if not goes(answer):
        return f"Leave the {terms.lift}{at}{' and drop again' if answer.careful else ''}."
    with_it = [moves.with_it(move, terms) for move in answer.taken_back]
    line = layout.capital(", ".join([f"{terms.lift} {_way(answer)}", *with_it]))
    if answer.careful:
        return f"{line}, then drop again."
    return f"{line}: then {measured} becomes {figures.seconds(_becomes(answer))}."


def fits(answer: DropAnswer) -> bool:
    """Whether the wanted drop time is as near as a step of the scale allows."""
    wanted_m = abs(answer.move_m or 0.0)
    near = wanted_m < answer.scale.step and not goes(answer)
    return not answer.careful and (near or _is_small(wanted_m, answer))


def goes(answer: DropAnswer) -> bool:
    """Whether the pivot is to be moved now."""
    return answer.move_m is not None and not _is_small(_distance(answer), answer)


def _is_small(distance_m: float, answer: DropAnswer) -> bool:
    return moves.is_less_than_half_a_step(distance_m, answer.scale)


def _becomes(answer: DropAnswer) -> float:
    """What is expected at the mark that can be set, else what was asked for."""
    if answer.at_target_s is not None and answer.at_target_s.value is not None:
        return answer.at_target_s.value
    return answer.wanted_s or answer.measured_s


def _where(answer: DropAnswer) -> str:
    return "" if answer.stands_m is None else f" at {figures.spoken(answer.stands_m, answer.scale)}"


def _distance(answer: DropAnswer) -> float:
    if answer.set_m is None or answer.stands_m is None:
        return answer.move_m or 0.0
    return answer.set_m - answer.stands_m


def _way(answer: DropAnswer) -> str:
    """``up 1.5, to 488.5``; a rig of which nothing is listed goes about that far."""
    way = moves.two_words(answer.toward, _distance(answer), answer.scale)
    if answer.evidence.unlisted:
        way = way.replace(" ", " about ", 1)
    to = "" if answer.set_m is None else f", to {figures.spoken(answer.set_m, answer.scale)}"
    return f"{way}{to}"


def spelled_out(answer: DropAnswer, terms: Terms) -> str:
    """What the hand does, where the wanted drop lies, and the next drop test if one is needed."""
    if answer.wanted_s is None or answer.move_m is None:
        return ""
    lies, there = _lies(answer, answer.wanted_s), _there(answer)
    if fits(answer) or not goes(answer):
        again = "Drop it once more before it is moved:" if answer.careful else ""
        text = f"{lies} {again}"
    elif answer.careful:
        text = (
            f"{_order(answer, terms)}. That is part of the way only, to a mark that is surely"
            f" bottom heavy.{there} {lies} Trim it again, and drop it once more:"
        )
    else:
        text = f"{_order(answer, terms)}; then trim it again. {lies}{there}"
    page = [layout.lines(text), _again(answer, answer.wanted_s) if answer.careful else ""]
    return "\n".join(filter(None, page))


def _order(answer: DropAnswer, terms: Terms) -> str:
    told = answer.sides if answer.sets == PIVOT else None
    sides = "" if answer.set_m is None else moves.each_side(told, answer.set_m, terms)
    order = layout.capital(moves.by_hand(answer.sets, answer.toward, terms)) + sides
    with_it = [moves.with_it(move, terms) for move in answer.taken_back if goes(answer)]
    return f"{order}, and the {', '.join(with_it)}, so that it stays in trim" if with_it else order


def _again(answer: DropAnswer, wanted_s: float) -> str:
    mark = "MARK" if answer.set_m is None else figures.typed(answer.set_m, answer.scale)
    also = [
        (move.name, figures.typed(moves.goes_to(move), move.adjuster))
        for move in answer.taken_back
        if goes(answer)
    ]
    return commands.drop(answer.named.build, [(answer.sets, mark), *also], wanted_s)


def _lies(answer: DropAnswer, wanted_s: float) -> str:
    """Where the wanted drop time lies, as a mark or else as a move."""
    if answer.move is None:
        return ""
    wanted = f"{figures.seconds(wanted_s)} lies"
    if answer.stands_m is None:
        bounds = _moved(answer)
        return f"{wanted} {bounds} from where it stands (95 %)." if bounds else ""
    low, high = (
        None if bound is None else answer.stands_m + bound
        for bound in (answer.move.low, answer.move.high)
    )
    bounds = figures.span(low, high, answer.scale.unit)
    return f"{wanted} at {bounds} {answer.scale.unit} (95 %)." if bounds else ""


def _moved(answer: DropAnswer) -> str:
    """Bounds of a move from an unknown mark: ``0.3 mm down to 1.9 mm up``; none without a way."""
    assert answer.move is not None
    if answer.move.low is None or answer.move.high is None or not moves.has_way(answer.toward):
        return ""
    sign = -1.0 if (answer.move.value or 0.0) < 0 else 1.0
    near, far = sorted(sign * bound for bound in (answer.move.low, answer.move.high))
    return f"{_one_way(near, answer)} to {_one_way(far, answer)}"


def _one_way(distance_m: float, answer: DropAnswer) -> str:
    toward = answer.toward if distance_m >= 0 else moves.opposite(answer.toward)
    return f"{figures.fine(abs(distance_m), answer.scale.unit)} {answer.scale.unit} {toward}"


def _there(answer: DropAnswer) -> str:
    if answer.at_target_s is None:
        return ""
    at = "After the move"
    if answer.set_m is not None:
        at = f"At {figures.setting(answer.set_m, answer.scale)}"
    return f" {at} expect {figures.drop_time(answer.at_target_s)}."
