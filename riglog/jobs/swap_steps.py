"""The order of work of a swap: parts, sides, fore and aft, first mark, trim, drop, move, trim."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.passage import needs_a_hand
from riglog.jobs.swap_answers import FirstMark, Passage, Step

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.jobs.answers import Move
    from riglog.jobs.exchange import Exchanged


def order_of_work(
    exchanged: Exchanged,
    moves: Sequence[Move],
    first: FirstMark,
    passages: Sequence[Passage],
    *,
    on_head: bool = False,
) -> Iterator[Step]:
    """What is done, one step after another; in states that nobody knows, the rig is held.

    ``on_head`` says that what sits on a powered head has to be balanced on it anew.
    """
    if not passages or any(needs_a_hand(state) for state in passages):
        yield Step("hold")
    for name in exchanged.off:
        yield Step("take-off", name)
    if exchanged.over:
        yield Step("turn-over", exchanged.build.mode)
    for name in exchanged.fitted:
        by = exchanged.hung.get(name)
        yield Step("hang", name, by=by) if by else Step("fit", name)
    if on_head:
        yield Step("balance-head")
    for name, angle in exchanged.turned.items():
        yield Step("turn", name, figure=angle)
    pivot = next(move for move in moves if move.name == "pivot")
    yield from (_set(move) for move in _coarse(moves))
    if pivot.free:
        move_m = None if pivot.from_m is None else first.pivot_m - pivot.from_m
        way = _way(first, pivot)
        yield Step("first-mark", "pivot", first.pivot_m, move_m, way, sides=pivot.sides)
    yield Step("trim")
    yield Step("drop")
    if pivot.free:
        yield Step("move", "pivot")
    yield Step("trim-again")


def _coarse(moves: Sequence[Move]) -> list[Move]:
    """Slides that move by half a step or more: side, then fore and aft, coarse before fine."""
    moving = [
        move for move in moves
        if move.free and move.name != "pivot"
        and (move.move_m is None or abs(move.move_m) >= move.adjuster.step / 2)
    ]  # fmt: skip
    return sorted(moving, key=lambda move: (move.adjuster.axis != "y", -move.adjuster.step))


def _set(move: Move) -> Step:
    by = None if move.from_m is None else move.set_m - move.from_m
    return Step("set", move.name, move.set_m, by, move.toward)


def _way(first: FirstMark, pivot: Move) -> str:
    """Which way the pivot goes to the first mark; it may be the other way than to the last."""
    if pivot.from_m is None or first.pivot_m == pivot.from_m:
        return ""
    same = (first.pivot_m > pivot.from_m) == (pivot.to_m > pivot.from_m)
    return pivot.toward if same else {"up": "down", "down": "up"}.get(pivot.toward, "")
