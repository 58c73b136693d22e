"""Directions: two words that can be called out, and the same once spelled out for the hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.answers import OPPOSITE
from riglog.wording import figures, masses, readings
from riglog.wording.layout import harmless
from riglog.wording.terms import PIVOT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Move, Vernier
    from riglog.jobs.swap_answers import FirstMark
    from riglog.records import Adjuster, PivotPair
    from riglog.wording.terms import Terms

_HANDS = {
    "up": "raise {}",
    "down": "lower {}",
    "forward": "move {} forward",
    "back": "move {} back",
    "left": "move {} to the left",
    "right": "move {} to the right",
}


def is_less_than_half_a_step(distance_m: float, scale: Adjuster) -> bool:
    """Whether a move is too small to set."""
    return abs(distance_m) < scale.step / 2


def goes_to(move: Move) -> float:
    """Reading at which an adjuster ends up: where it stands, if that is near enough."""
    if move.from_m is None:
        return move.set_m
    distances = (move.to_m - move.from_m, move.set_m - move.from_m)
    small = any(is_less_than_half_a_step(each, move.adjuster) for each in distances)
    return move.from_m if small or not move.free else move.set_m


def stands_still(move: Move) -> bool:
    """Whether nobody touches an adjuster, because it is kept or already right."""
    return move.from_m is not None and goes_to(move) == move.from_m


def two_words(toward: str, distance_m: float, scale: Adjuster) -> str:
    """Which way and how far: ``up 2.0``."""
    figure = figures.distance(distance_m, scale)
    return f"{toward} {figure}" if toward in OPPOSITE else f"by {figure}"


def called_out(move: Move, terms: Terms) -> str:
    """One adjuster as part of the line that is said aloud: ``gimbal up 2.0``."""
    name, to_m = terms.called(move.name), goes_to(move)
    if move.from_m is None:
        return f"{name} to {figures.spoken(to_m, move.adjuster)}"
    if stands_still(move):
        return f"{name} {'stay' if terms.plural and move.name == PIVOT else 'stays'}"
    return f"{name} {two_words(move.toward, to_m - move.from_m, move.adjuster)}"


def in_table(move: Move) -> str:
    """The move of one adjuster in the table: ``up 2.0``, ``stays``, ``kept``."""
    if not move.free:
        return "kept"
    if move.from_m is None:
        return "set"
    if stands_still(move):
        return "stays"
    return two_words(move.toward, goes_to(move) - move.from_m, move.adjuster)


def row(move: Move, terms: Terms, unit: str) -> list[str]:
    """One adjuster's line in the table."""
    stood = "-" if move.from_m is None else _stood(move, move.from_m)
    return [
        f"{terms.labeled(move.name)}{unit}",
        stood,
        figures.reading(goes_to(move), move.adjuster),
        in_table(move),
        figures.span(move.low_m, move.high_m, move.adjuster.unit) if move.free else "",
    ]


def _stood(move: Move, from_m: float) -> str:
    stood = from_m if move.sides is None else move.sides
    return readings.mark(stood, move.adjuster).removesuffix(f" {move.adjuster.unit}")


def by_hand(name: str, toward: str, terms: Terms, by: str = "") -> str:
    """What the hand does, spelled out: ``raise the gimbal on the post, towards the camera``.

    ``by`` says how far: `` by 2.0``.
    """
    words = _HANDS.get(toward, "set {}").format(f"the {terms.called(name)}") + by
    if name != PIVOT or not has_way(toward):
        return words
    if terms.type == "post" and toward in {"up", "down"}:
        return f"{words} on the post, {_end(toward, terms)} the camera"
    guides = " along their guides" if terms.scale(PIVOT).lean else ""
    return f"{words}{guides}, both to the same reading" if terms.plural else words


def with_it(move: Move, terms: Terms) -> str:
    """A slide that goes with what sets the drop: ``cradle back 1.5, to -3``."""
    to = figures.spoken(goes_to(move), move.adjuster)
    return f"{called_out(move, terms)}, to {to}"


def beside(first: FirstMark, terms: Terms) -> str:
    """What else stands elsewhere at the first mark: `` with the cradle at -12``; else nothing."""
    told = [
        f"the {terms.called(move.name)} at {figures.spoken(move.set_m, move.adjuster)}"
        for move in first.also
    ]
    return f" with {', '.join(told)}" if told else ""


def set_beside(first: FirstMark, moved: Sequence[Move]) -> list[Move]:
    """All that a drop at the first mark finds elsewhere than it was, beside that mark."""
    told = {PIVOT, first.name, *(move.name for move in first.also)}
    others = (move for move in moved if move.name not in told and not stands_still(move))
    return [*first.also, *others]


def each_side(sides: PivotPair | None, to_m: float, terms: Terms) -> str:
    """How far each of a ring's pivots goes: `` (left up 2.0, right up 1.0)``; else nothing.

    In low mode what the rig has on its left hangs on the right.
    """
    if sides is None or sides.left == sides.right:
        return ""
    scale, is_high = terms.scale(PIVOT), terms.mode == "high"
    both = (sides.left, sides.right) if is_high else (sides.right, sides.left)
    left, right = (moved_side(to_m - at_m, scale, terms) for at_m in both)
    return f" ({'' if is_high else 'as it hangs '}left {left}, right {right})"


def moved_side(move_m: float, scale: Adjuster, terms: Terms) -> str:
    """How far one of a ring's pivots goes along its guide: ``up 2.0``, ``stays``."""
    if is_less_than_half_a_step(move_m, scale):
        return "stays"
    further = move_m * scale.scale.sign
    if scale.axis == "x":
        return two_words("forward" if further > 0 else "back", move_m, scale)
    rise = further * (1 if terms.mode == "high" else -1)
    return two_words("up" if rise > 0 else "down", move_m, scale)


def _end(toward: str, terms: Terms) -> str:
    """In low mode the camera hangs below, and up leads away from it."""
    return "towards" if (toward == "up") == (terms.mode == "high") else "away from"


def has_way(toward: str) -> bool:
    """Whether a move has a direction that a hand can follow."""
    return toward in OPPOSITE


def opposite(toward: str) -> str:
    """The other way; none has none."""
    return OPPOSITE.get(toward, toward)


def finer(vernier: Vernier | None, terms: Terms) -> str:
    """A part whose move is finer than one step of the pivot; nothing where none is needed."""
    if vernier is None:
        return ""
    hand = _HANDS.get(vernier.toward, "move {}").format(
        f"{harmless(vernier.part)} ({masses.on_rig(vernier.mass_kg, terms.unit)})"
    )
    moved, worth = (figures.fine(abs(m), terms.unit) for m in (vernier.part_m, vernier.pivot_m))
    return (
        f"Finer than one step: {hand} by {moved} {terms.unit}, as much as {worth} {terms.unit}"
        f" of {terms.lift} ({changed(vernier.drop_change_s)})."
    )


def changed(difference_s: float) -> str:
    """A change of drop time in words: ``0.2 s longer``."""
    shown = figures.seconds(abs(difference_s))
    if shown == figures.seconds(0.0):
        return "less than 0.1 s"
    return f"{shown} {'longer' if difference_s > 0 else 'shorter'}"
