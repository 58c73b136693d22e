"""Adjusters along one axis that share a way: who takes what, and what each may still have to go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.estimation.forward import off_slopes
from riglog.jobs.free import may_move
from riglog.jobs.travel import beyond_travel

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.settle import Settled
    from riglog.jobs.answers import Move


def could_take_over(
    hanging: Hanging, settled: Settled, index: int, tried: Collection[int]
) -> list[str]:
    """Adjusters to let free for what is beyond the travel of one; none where all are too short.

    The coarsest that has the travel alone, or else the coarsest that have it together.
    """
    tree = hanging.tree
    axis, slopes = tree.along(index), off_slopes(tree, settled.hangs)
    beyond = _beyond(hanging, settled, index) * slopes[axis, index]
    others = [
        each for each in range(len(tree.adjusters))
        if each not in tried and may_move(tree, each) and tree.along(each) == axis
    ]  # fmt: skip
    others.sort(key=lambda each: -tree.scales[each].step)
    taken = [
        slopes[axis, each] * _room(hanging, settled, each, beyond / slopes[axis, each])
        for each in others
    ]
    names = [tree.adjusters[each] for each in others]
    for name, share in zip(names, taken, strict=True):
        if abs(share) >= abs(beyond):
            return [name]
    for count in range(2, len(names) + 1):
        if abs(sum(taken[:count])) >= abs(beyond):
            return names[:count]
    return []


def _beyond(hanging: Hanging, settled: Settled, index: int) -> float:
    """How far past the end of its travel an adjuster would have to go, as a change of position."""
    scale = hanging.tree.scales[index]
    reading = scale.scale.reading(float(settled.positions_m[index]))
    return scale.scale.sign * beyond_travel(scale, reading)


def _room(hanging: Hanging, settled: Settled, index: int, wanted_m: float) -> float:
    """As much of a change of position as an adjuster has the travel for."""
    scale = hanging.tree.scales[index]
    to = scale.scale.reading(float(settled.positions_m[index]) + wanted_m)
    return wanted_m - scale.scale.sign * beyond_travel(scale, to)


def shared(
    hanging: Hanging, moves: Sequence[Move], ordered: Sequence[Sequence[int]], settled: Settled
) -> tuple[Move, ...]:
    """The moves, with bounds for two that share a way: what one has no travel for, the other takes.

    ``ordered`` are the adjusters of each axis, coarse before fine. The last of them that moves has
    the error of the whole way, within its travel. One before it is set where it is told, and may
    have to go further by what that lacks; if nothing is lacking, it has no bounds of its own.
    """
    told = list(moves)
    slopes = off_slopes(hanging.tree, settled.hangs)
    moved = {int(index) for index in settled.moved}
    for group in ordered:
        last = next((index for index in group if index in moved), group[0])
        before = group[: group.index(last)]
        if not before:
            continue
        axis = hanging.tree.along(last)
        told[last], lacking = _within(told[last])
        for index in reversed(before):
            signs = told[last].adjuster.scale.sign * told[index].adjuster.scale.sign
            ratio = signs * float(slopes[axis, last] / slopes[axis, index])
            told[index], lacking = _taking(told[index], [each * ratio for each in lacking])
            last = index
    return tuple(told)


def _within(move: Move) -> tuple[Move, list[float]]:
    """A move with its bounds cut at the ends of the travel, and what each lacks then [m]."""
    if move.low_m is None or move.high_m is None:
        return move, [0.0, 0.0]
    lacking = [beyond_travel(move.adjuster, each) for each in (move.low_m, move.high_m)]
    low, high = move.low_m - lacking[0], move.high_m - lacking[1]
    return move._replace(low_m=low, high_m=high), lacking


def _taking(move: Move, lacking: Sequence[float]) -> tuple[Move, list[float]]:
    """A move that is set where it is told, and what it may have to take over from a finer one."""
    if not any(lacking):
        return move._replace(low_m=None, high_m=None), [0.0, 0.0]
    low, high = sorted(lacking)
    bounds = move._replace(low_m=move.to_m + min(low, 0.0), high_m=move.to_m + max(high, 0.0))
    return _within(bounds)
