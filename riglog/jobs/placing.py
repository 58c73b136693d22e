"""Where the adjusters of a build go: which may move, how far, and the first mark to trust."""

from __future__ import annotations

from math import ceil, floor, nan
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import UnreachableError
from riglog.estimation.planting import reading_m
from riglog.jobs.answers import Move, Value
from riglog.jobs.coarse import center_fine, coarse_first, is_finer
from riglog.jobs.drop_times import drop_of, drop_value, refuse_too_short
from riglog.jobs.free import free_adjusters
from riglog.jobs.shared_travel import could_take_over, shared
from riglog.jobs.swap_answers import FirstMark
from riglog.jobs.travel import beyond_travel
from riglog.records import PivotPair
from riglog.units import show

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.hanging import Hanging
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
    """Where everything goes, and what is known of the places of what moves."""

    settled: Settled
    estimates: dict[int, Estimate]
    moves: tuple[Move, ...]


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
    left = [list(group) for group in ordered]
    settled = _settle(hanging, left, wanted_s, start)
    settled = _finish(hanging, left, wanted_s, settled)
    found = hanging.settings(settled, wanted_s)
    estimates = {int(index): each for index, each in zip(settled.moved, found, strict=True)}
    moves = tuple(
        _move(hanging, settled, estimates.get(index), index, float(stood[index]))
        for index in range(len(hanging.tree.adjusters))
    )
    return Placed(settled, estimates, shared(hanging, moves, ordered, settled))


def _settle(
    hanging: Hanging, groups: list[list[int]], wanted_s: float | None, start: FloatArray
) -> Settled:
    """One adjuster an axis; what comes to its end stays there and the next takes the rest."""
    tried = {index for group in groups for index in group}
    if wanted_s is not None and hanging.tree.lift in tried:
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


def _nearest_end(tree: Tree, positions_m: FloatArray, index: int) -> float:
    scale = tree.scales[index]
    assert scale.travel is not None
    over = _excess(tree, positions_m, index)
    return scale.scale.position(scale.travel[1] if over > 0 else scale.travel[0])


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
    if index != tree.lift:
        others = could_take_over(hanging, settled, index, tried)
        more = "another" if len(others) == 1 else "others"
        calls = " ".join(f"--free {each}" for each in others)
        free = f"let {more} move ({calls}), or " if others else ""
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
    # Finer than any scale, and so that a reading in inches is the float that its text means.
    return round(whole * scale.step, 12)


def first_mark(
    hanging: Hanging, placed: Placed, slides: Sequence[int] = ()
) -> tuple[FirstMark, bool]:
    """The mark to start from, and whether the end of the travel cut it short.

    It is the wanted mark, or else the nearest to it that is surely bottom heavy, with the error
    of setting it: the nearer the first drop is to the wanted one, the less the fine move rests
    on k. What is kept stays where it is, and so does all where nothing sets the drop time.
    ``slides`` trim it beside those that were placed.
    """
    tree, index = hanging.tree, hanging.tree.lift
    if index is None or index not in placed.estimates:
        stays = placed.moves[tree.pivot if index is None else index]
        name, at = ("", stays.set_m) if index is None else (stays.name, stays.to_m)
        return FirstMark(name, at, drop_at_mark(hanging, placed.settled, at), toward=""), False
    scale = tree.scales[index]
    way = 1 if hanging.depth_per_m(index) > 0 else -1
    high = SURELY if way > 0 else 1 - SURELY
    safe = hanging.neutral(placed.settled, index).widened(scale.step).quantile(high)
    wanted = placed.estimates[index].value
    position = max(safe, wanted) if way > 0 else min(safe, wanted)
    sign = way if scale.scale.sign > 0 else -way
    reading = settable(scale, scale.scale.reading(position), sign)
    within = reading - beyond_travel(scale, reading)
    expected = drop_at_mark(hanging, placed.settled, within)
    moved = [*(int(each) for each in placed.settled.moved), *slides]
    also = tuple(_also(hanging, placed, index, scale.scale.position(within), moved))
    return (
        FirstMark(tree.adjusters[index], within, expected, toward(tree, index, way), also),
        within != reading,
    )


def _also(
    hanging: Hanging, placed: Placed, index: int, position_m: float, moved: Sequence[int]
) -> Iterator[Move]:
    """The slide that keeps it in trim with what sets the drop elsewhere than for the wanted one."""
    slides = [each for each in moved if hanging.tree.along(each) == 0][:1]
    if not slides or not takes_along(hanging, index):
        return
    start = placed.settled.positions_m.copy()
    start[index] = position_m
    trimmed = hanging.settle(slides, None, start).positions_m
    for slide in slides:
        to = hanging.tree.scales[slide].scale.reading(float(trimmed[slide]))
        yield _slid(hanging, slide, to)


def _slid(hanging: Hanging, slide: int, to_m: float) -> Move:
    """The move of a slide to a reading, or to the end of its travel; it is told with no bounds."""
    tree = hanging.tree
    name, scale = tree.adjusters[slide], tree.scales[slide]
    stood = hanging.hung.settings.get(name)
    from_m = None if stood is None else reading_m(stood)
    to_m -= beyond_travel(scale, to_m)
    change = nan if from_m is None else (to_m - from_m) * scale.scale.sign
    way = toward(tree, slide, change)
    return Move(name, scale, from_m, to_m, settable(scale, to_m), None, None, way, free=True)


def takes_along(hanging: Hanging, index: int) -> bool:
    """Whether an adjuster that sets the drop moves the tilt axis fore and aft as well."""
    return abs(hanging.forward_per_m(index)) > _STAYS_M


def taken_back(hanging: Hanging, index: int, change_m: float) -> tuple[Move, ...]:
    """The move of the slide that keeps the trim while what sets the drop moves so far.

    None where it does not take the tilt axis along, or where no slide is set.
    """
    tree = hanging.tree
    slides = free_adjusters(tree, (), ())[0]
    stood = hanging.hung.settings.get(tree.adjusters[slides[0]]) if slides else None
    if stood is None or not takes_along(hanging, index):
        return ()
    by_m = -change_m * hanging.forward_per_m(index) / hanging.forward_per_m(slides[0])
    sign = tree.scales[slides[0]].scale.sign
    return (_slid(hanging, slides[0], reading_m(stood) + sign * by_m),)


def drop_at_mark(hanging: Hanging, settled: Settled, reading: float) -> Value:
    """Drop time expected of the trimmed build with what sets it at a reading, newly set if free."""
    positions, index = settled.positions_m.copy(), hanging.tree.lift
    if index is None:
        depth = hanging.depth(positions, exact=settled.moved)
        return drop_value(depth, float(settled.hangs.gyration_m2[0]))
    scale = hanging.tree.scales[index]
    positions[index] = scale.scale.position(reading)
    depth = hanging.depth(positions, exact=settled.moved)
    if index in settled.moved:
        depth = depth.widened(hanging.step_m(index))
    return drop_value(depth, float(settled.hangs.gyration_m2[0]))
