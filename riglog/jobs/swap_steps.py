"""The order of work of a swap: parts, sides, fore and aft, first mark, trim, drop, move, trim."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.jobs.answers import OPPOSITE, Move
from riglog.jobs.passage import needs_a_hand
from riglog.jobs.swap_answers import FirstMark, Passage, Step

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.jobs.answers import Move
    from riglog.jobs.exchange import Exchanged


class HeadWork(NamedTuple):
    """What becomes of a powered head: what it does then, and what has to be done with it.

    ``changed`` says that what sits on it is exchanged, ``balanced`` that it is balanced on it anew,
    ``set_anew`` that it did something else before.
    """

    does: str
    changed: bool
    balanced: bool
    set_anew: bool


NO_HEAD = HeadWork("level", changed=False, balanced=True, set_anew=False)


def order_of_work(
    exchanged: Exchanged,
    moves: Sequence[Move],
    first: FirstMark,
    passages: Sequence[Passage],
    head: HeadWork = NO_HEAD,
) -> Iterator[Step]:
    """What is done, one step after another; in states that nobody knows, the rig is held.

    Nothing comes off a live head, and it is switched on only with hands clear.
    """
    if not passages or any(needs_a_hand(state) for state in passages):
        yield Step("hold")
    if head.changed:
        yield Step("head-off")
    for name in exchanged.off:
        yield Step("take-off", name)
    if exchanged.over:
        yield Step("turn-over", exchanged.build.mode)
    for name in exchanged.fitted:
        if name in exchanged.hung:
            yield Step("hang", name, by=exchanged.hung[name])
        else:
            yield Step("fit", name)
    yield from _switched_on(head)
    for name, angle in exchanged.turned.items():
        yield Step("turn", name, figure=angle)
    marked = [move for move in moves if move.free and move.name == first.name]
    yield from (_set(move) for move in _coarse(moves, first))
    for move in marked:
        move_m = None if move.from_m is None else first.set_m - move.from_m
        way = _way(move, first.set_m)
        yield Step("first-mark", move.name, first.set_m, move_m, way, sides=move.sides)
    yield Step("trim")
    yield Step("drop")
    for move in marked:
        yield Step("move", move.name)
    yield Step("trim-again")


def _switched_on(head: HeadWork) -> Iterator[Step]:
    """What a head has to do from here on, once what sits on it is balanced if it is to be."""
    if head.changed:
        yield Step("balance-head" if head.balanced else "head-on", head.does)
    elif head.set_anew:
        yield Step("set-head", head.does)


def _coarse(moves: Sequence[Move], first: FirstMark) -> list[Move]:
    """Slides that move by half a step or more: side, then fore and aft, coarse before fine.

    They go where they are in trim at the first mark.
    """
    also = {move.name: move.set_m for move in first.also}
    slides = [_at(move, also.get(move.name)) for move in moves if move.name != first.name]
    moving = [
        move for move in slides
        if move.free and (move.move_m is None or abs(move.move_m) >= move.adjuster.step / 2)
    ]  # fmt: skip
    return sorted(moving, key=lambda move: (move.adjuster.axis != "y", -move.adjuster.step))


def _at(move: Move, reading: float | None) -> Move:
    """The move with another end."""
    if reading is None:
        return move
    return move._replace(to_m=reading, set_m=reading, toward=_way(move, reading))


def _set(move: Move) -> Step:
    by = None if move.from_m is None else move.set_m - move.from_m
    return Step("set", move.name, move.set_m, by, move.toward, sides=move.sides)


def _way(move: Move, reading: float) -> str:
    """Which way it goes to a reading at first; it may be the other way than to the last."""
    if move.from_m is None or reading == move.from_m:
        return ""
    same = (reading > move.from_m) == (move.to_m > move.from_m)
    return move.toward if same else OPPOSITE.get(move.toward, "")
