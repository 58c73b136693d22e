"""Where the adjusters of a build go: which may move, how far, and the first mark to trust."""

from __future__ import annotations

from math import ceil, floor, nan
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.errors import CallError, UnreachableError
from riglog.estimation.heights import drop as drop_at
from riglog.estimation.heights import shortest_s
from riglog.estimation.inference import FROM_HORIZONTAL, Hanging
from riglog.estimation.planting import reading_m
from riglog.jobs.answers import Move, Value
from riglog.jobs.coarse import center_fine, coarse_first, is_finer
from riglog.jobs.swap_answers import FirstMark
from riglog.library.adjusters import named_adjuster
from riglog.records import PivotPair
from riglog.units import show

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.interval import Estimate
    from riglog.estimation.settle import Settled
    from riglog.estimation.tree import Tree
    from riglog.mechanics.arrays import FloatArray
    from riglog.records import Adjuster

# A first mark may be top heavy in one case of this many.
SURELY = 1 - 1 / 200
# The same as standard deviations of a normal quantity, on one side.
SURELY_SD = 2.5758293035489004
_STAYS_M = 1e-9


class Placed(NamedTuple):
    """Where everything goes, and what is known of the pivot's place."""

    settled: Settled
    estimates: dict[int, Estimate]
    moves: tuple[Move, ...]


def free_adjusters(tree: Tree, free: Sequence[str], hold: Sequence[str]) -> list[list[int]]:
    """For fore-aft, side and height the adjusters that may move, in the order of their use.

    Those are the pivot, and along x and y the first listed that moves a part, before all others
    that ``free`` names; none of ``hold``.

    Raises
    ------
    CallError
        If a word names no adjuster of the build, or one that moves nothing along its axis.
    """
    free, hold = (
        [named_adjuster(each, tree.adjusters) for each in words] for words in (free, hold)
    )
    for name in free:
        if name in hold:
            raise CallError(f"{name} cannot both move and stay", hint="say --free or --hold")
        if not _trims(tree, tree.adjusters.index(name)):
            raise CallError(
                f"{name} moves nothing fore and aft or side to side", hint="leave it out"
            )
    groups = [_along(tree, axis, free, hold) for axis in (0, 1)]
    return [*groups, [] if "pivot" in hold else [tree.pivot]]


def _along(tree: Tree, axis: int, free: Sequence[str], hold: Sequence[str]) -> list[int]:
    moving = [
        index
        for index in range(len(tree.scales))
        if tree.along(index) == axis and index != tree.pivot and _moves_a_part(tree, index)
    ]
    usual = [index for index in moving if tree.adjusters[index] not in hold][:1]
    more = [index for index in moving if tree.adjusters[index] in free and index not in usual]
    return usual + more


def _trims(tree: Tree, index: int) -> bool:
    """Whether an adjuster can be let free; that of the height is free as it is."""
    return index == tree.pivot or (tree.along(index) != 2 and _moves_a_part(tree, index))


def _moves_a_part(tree: Tree, index: int) -> bool:
    return bool(np.any(tree.slides[tree.tilts, index]))


def place(
    hanging: Hanging,
    groups: Sequence[Sequence[int]],
    wanted_s: float | None,
    start_m: FloatArray | None = None,
) -> Placed:
    """Settle the build within the travels, each axis with its adjusters one after another.

    The others stay at ``start_m`` (a,), or else where their scales say.

    Raises
    ------
    UnreachableError
        If no mark drops so soon, or the pivot or a slide would have to go beyond its travel.
    """
    start = (hanging.stand.positions_m if start_m is None else start_m).copy()
    ordered = coarse_first(hanging.tree, groups)
    stood = start.copy()
    center_fine(hanging.tree, ordered, start)
    settled = _settle(hanging, ordered, wanted_s, start)
    settled = _finish(hanging, ordered, wanted_s, settled)
    found = hanging.settings(settled, wanted_s)
    estimates = {int(index): each for index, each in zip(settled.moved, found, strict=True)}
    moves = tuple(
        _move(hanging, settled, estimates.get(index), index, float(stood[index]))
        for index in range(len(hanging.tree.adjusters))
    )
    return Placed(settled, estimates, moves)


def _settle(
    hanging: Hanging, groups: list[list[int]], wanted_s: float | None, start: FloatArray
) -> Settled:
    """One adjuster an axis; what comes to its end stays there and the next takes the rest."""
    tried = {index for group in groups for index in group}
    if wanted_s is not None and any(hanging.tree.pivot in group for group in groups):
        # Asked before settling, which goes astray where there is no such mark.
        refuse_too_short(wanted_s, float(hanging.hangs.gyration_m2[0]))
    while True:
        settled = hanging.settle([group[0] for group in groups], wanted_s, start)
        positions = settled.positions_m
        beyond = [group for group in groups if _excess(hanging.tree, positions, group[0])]
        if not beyond:
            return settled
        for group in beyond:
            if len(group) == 1:
                _refuse(hanging, settled, group[0], wanted_s, tried)
            start[group[0]] = _nearest_end(hanging.tree, positions, group[0])
            del group[0]


def _finish(
    hanging: Hanging, groups: list[list[int]], wanted_s: float | None, settled: Settled
) -> Settled:
    """With a coarse adjuster at a step of its scale, what is left to the fine one on its axis."""
    tree, start = hanging.tree, settled.positions_m.copy()
    for group in groups:
        if len(group) > 1 and is_finer(tree, group[1], group[0]):
            scale = tree.scales[group[0]]
            reading = settable(scale, scale.scale.reading(float(start[group[0]])))
            start[group[0]] = scale.scale.position(reading)
            del group[0]
    free = [group[0] for group in groups]
    if free == [int(index) for index in settled.moved]:
        return settled
    finished = hanging.settle(free, wanted_s, start)
    within = not any(_excess(tree, finished.positions_m, index) for index in free)
    return finished if within else settled


def _excess(tree: Tree, positions_m: FloatArray, index: int) -> float:
    """How far a position lies beyond the travel [m], in the scale's own direction; 0 within."""
    scale = tree.scales[index]
    return beyond_travel(scale, scale.scale.reading(float(positions_m[index])))


def beyond_travel(scale: Adjuster, reading: float) -> float:
    """How far a reading lies past the end of the travel [m], negative below it; 0 within."""
    if scale.travel is None:
        return 0.0
    low, high = scale.travel
    over = max(reading - high, 0.0) + min(reading - low, 0.0)
    return over if abs(over) > 1e-6 else 0.0


def _nearest_end(tree: Tree, positions_m: FloatArray, index: int) -> float:
    scale = tree.scales[index]
    assert scale.travel is not None
    over = _excess(tree, positions_m, index)
    return scale.scale.position(scale.travel[1] if over > 0 else scale.travel[0])


def refuse_too_short(wanted_s: float, gyration_m2: float) -> None:
    """Refuse a drop time [s] that no mark of a build gives.

    Raises
    ------
    UnreachableError
        If it is shorter than the shortest.
    """
    shortest = float(shortest_s(FROM_HORIZONTAL, gyration_m2))
    if wanted_s < shortest:
        raise UnreachableError(
            f"no mark drops in {wanted_s:.2f} s",
            hint=f"the shortest drop of this build is {shortest:.2f} s",
        )


def _refuse(
    hanging: Hanging, settled: Settled, index: int, wanted_s: float | None, tried: set[int]
) -> None:
    """Say what would be needed, and what is the nearest that can be had."""
    tree, name = hanging.tree, hanging.tree.adjusters[index]
    scale = tree.scales[index]
    assert scale.travel is not None
    asked = show(scale.scale.reading(float(settled.positions_m[index])), scale.unit)
    low, high = (show(end, scale.unit) for end in scale.travel)
    needs = f"{name} would have to stand at {asked}, and its travel is {low} to {high}"
    if index != tree.pivot:
        others = [
            each for i, each in enumerate(tree.adjusters)
            if i not in tried and _trims(tree, i) and tree.along(i) == tree.along(index)
        ]  # fmt: skip
        free = f"let another move (--free {others[0]}), or " if others else ""
        raise UnreachableError(needs, hint=f"{free}move a part by hand and record where it sits")
    positions = settled.positions_m.copy()
    positions[index] = _nearest_end(tree, settled.positions_m, index)
    nearest_s = drop_of(hanging.depth_m(positions, hanging.at(positions)), settled)
    there = "it is top heavy" if nearest_s is None else f"it drops in {show(nearest_s, 's')}"
    wanted = "neutral" if wanted_s is None else f"a drop of {show(wanted_s, 's')}"
    raise UnreachableError(
        f"{wanted} is out of reach: {needs}",
        hint=f"at the end of the travel {there}; ask for that, or move weight",
    )


def drop_of(depth_m: float, settled: Settled) -> float | None:
    """Drop time from horizontal at a depth, None where it is top heavy."""
    return time_of(depth_m, float(settled.hangs.gyration_m2[0]))


def time_of(depth_m: float, gyration_m2: float, factor: float = FROM_HORIZONTAL) -> float | None:
    """Drop time [s] of a pivot that far above the center of gravity; None at neutral and below."""
    if depth_m <= 0:
        return None
    return float(drop_at(depth_m, factor, gyration_m2))


def drop_value(depth: Estimate, gyration_m2: float, factor: float = FROM_HORIZONTAL) -> Value:
    """A depth as a drop time: lopsided, and open above where it may be top heavy."""
    return drop_between(depth.value, *depth.interval(), gyration_m2, factor)


def drop_between(
    depth_m: float,
    low: float,
    high: float,
    gyration_m2: float,
    factor: float = FROM_HORIZONTAL,
) -> Value:
    """The same of a depth and its bounds [m]."""
    # Beyond k above the center a drop grows longer again, and is never shorter than there.
    quickest = min(max(low, gyration_m2**0.5), high)
    value, shortest, *ends = (
        time_of(each, gyration_m2, factor) for each in (depth_m, quickest, low, high)
    )
    slowest = None if None in ends else max(each for each in ends if each is not None)
    return Value(value, shortest, slowest)


def _move(
    hanging: Hanging, settled: Settled, estimate: Estimate | None, index: int, start_m: float
) -> Move:
    tree, name, scale = hanging.tree, hanging.tree.adjusters[index], hanging.tree.scales[index]
    stood = hanging.hung.settings.get(name)
    from_m = None if stood is None else reading_m(stood)
    sides = stood if isinstance(stood, PivotPair) else None
    if estimate is None:
        there = float(settled.positions_m[index])
        at = scale.scale.reading(there)
        # One that went to its end, or to the step from which a finer one took over.
        went = abs(there - start_m) > _STAYS_M
        way = toward(tree, index, there - start_m) if went else ""
        return Move(
            name, scale, from_m, at, settable(scale, at), at, at, way, free=went, sides=sides
        )
    to, (low, high) = estimate.value, estimate.interval()
    low, high = sorted(scale.scale.reading(each) for each in (low, high))
    at = scale.scale.reading(to)
    change = to - (scale.scale.position(from_m) if from_m is not None else nan)
    return Move(
        name, scale, from_m, at, settable(scale, at), low, high,
        toward=toward(tree, index, change), free=True, sides=sides,
    )  # fmt: skip


_WAYS = (("forward", "back"), ("left", "right"), ("up", "down"))


def toward(tree: Tree, index: int, change_m: float) -> str:
    """Which way the hand goes, as the world has it; in low mode y and z are turned over."""
    if not abs(change_m) > 0:
        return ""
    axis = tree.along(index)
    sign = change_m * tree.sense(index) * (1.0 if axis == 0 else tree.up)
    return _WAYS[axis][0 if sign > 0 else 1]


def settable(scale: Adjuster, reading: float, way: int = 0) -> float:
    """The nearest reading that can be set; with ``way`` 1 or -1 the next one up or down."""
    steps = reading / scale.step
    whole = round(steps) if not way else (ceil(steps - 1e-9) if way > 0 else floor(steps + 1e-9))
    return round(whole * scale.step, 9)


def first_mark(hanging: Hanging, placed: Placed) -> tuple[FirstMark, bool]:
    """The mark to start from, and whether the end of the travel cut it short.

    It is the wanted mark, or else the nearest to it that is surely bottom heavy, with the error
    of setting it: the nearer the first drop is to the wanted one, the less the fine move rests
    on k. A pivot that is kept stays where it is.
    """
    tree, index = hanging.tree, hanging.tree.pivot
    scale = tree.scales[index]
    if index not in placed.estimates:
        stays = next(move.to_m for move in placed.moves if move.name == tree.adjusters[index])
        return FirstMark(
            stays, drop_at_mark(hanging, placed.settled, stays), toward_camera=True
        ), False
    way = 1 if tree.up > 0 else -1
    high = SURELY if way > 0 else 1 - SURELY
    safe = hanging.neutral(placed.settled).widened(scale.step).quantile(high)
    wanted = placed.estimates[index].value
    position = max(safe, wanted) if way > 0 else min(safe, wanted)
    sign = way if scale.scale.sign > 0 else -way
    reading = settable(scale, scale.scale.reading(position), sign)
    clamped = False
    if scale.travel is not None and not scale.travel[0] <= reading <= scale.travel[1]:
        clamped = True
        reading = min(max(reading, scale.travel[0]), scale.travel[1])
    expected = drop_at_mark(hanging, placed.settled, reading)
    return FirstMark(reading, expected, toward_camera=tree.up > 0), clamped


def drop_at_mark(hanging: Hanging, settled: Settled, reading: float) -> Value:
    """Drop time expected of the trimmed build with the pivot at a reading, newly set if free."""
    scale = hanging.tree.scales[hanging.tree.pivot]
    positions = settled.positions_m.copy()
    positions[hanging.tree.pivot] = scale.scale.position(reading)
    depth = hanging.depth(positions, exact=settled.moved)
    if hanging.tree.pivot in settled.moved:
        depth = depth.widened(scale.step)
    return drop_value(depth, float(settled.hangs.gyration_m2[0]))
