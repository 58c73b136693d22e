"""Moves that trim a rig: where each adjuster goes, and how sure that is."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.errors import UnreachableError
from riglog.estimation.forward import off_slopes
from riglog.estimation.planting import reading_m
from riglog.estimation.rows import Rows, stack
from riglog.estimation.trim import OFF_M, OFF_RAD, Trimmed, trim
from riglog.jobs.answers import Move
from riglog.jobs.placing import place, settable, takes_along, toward

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.jobs.placing import Placed
    from riglog.mechanics.arrays import FloatArray

# On guides that lean, trim and mark are found in turn: each time nearly all of the way.
_ROUNDS = 4


class Work(NamedTuple):
    """What may move, how far it is off beyond what is known, and whether the tilt counts."""

    may_move: list[int]
    off_m: FloatArray
    counts: bool

    def trimmed(self, hanging: Hanging, start_m: FloatArray) -> Trimmed:
        """The moves that trim it from there."""
        return trim(
            hanging.tree, hanging.theta, start_m, self.may_move, tilt=self.counts, off_m=self.off_m
        )


def trimmed_for(
    hanging: Hanging, here: Trimmed, work: Work, wanted_s: float | None
) -> tuple[Trimmed, Placed | None]:
    """The trim, and what sets the drop placed for the wanted time; None where it has no mark.

    On guides that lean the way to the mark takes the tilt axis along: then it is trimmed there.
    """
    lift, done = hanging.tree.lift, here
    if lift is None or wanted_s is None:
        return done, None
    for _ in range(_ROUNDS):
        placed = _placed(hanging, done, lift, wanted_s)
        if placed is None or not takes_along(hanging, lift):
            return done, placed
        start = hanging.positions_m.copy()
        start[lift] = placed.settled.positions_m[lift]
        done = work.trimmed(hanging, start)
    return done, _placed(hanging, done, lift, wanted_s)


def may_trim(hanging: Hanging, kept: Sequence[str]) -> list[int]:
    """What trims it: every adjuster that is set and not kept, but what sets the drop time."""
    tree = hanging.tree
    return [
        index
        for index, name in enumerate(tree.adjusters)
        if index != tree.lift
        and name not in kept
        and name in hanging.hung.settings
        and (index == tree.pivot or tree.moves_a_part(index))
    ]


def moves_of(
    hanging: Hanging, done: Trimmed, placed: Placed | None, wanted_s: float | None, *, counts: bool
) -> list[Move]:
    """Every adjuster: where it stands, where it goes, and how sure that is."""
    sure = _bounds(hanging, done, placed, wanted_s, counts=counts)
    moves = [_move(hanging, done, i, sure.get(i)) for i in range(len(hanging.tree.adjusters))]
    if placed is not None:
        for index in placed.settled.moved:
            moves[index] = placed.moves[index]
    return moves


def _move(hanging: Hanging, done: Trimmed, index: int, bounds: tuple[float, float] | None) -> Move:
    tree, name, scale = hanging.tree, hanging.tree.adjusters[index], hanging.tree.scales[index]
    stood = hanging.hung.settings.get(name)
    from_m = None if stood is None else reading_m(stood)
    at = scale.scale.reading(float(hanging.stand.positions_m[index]))
    if index not in done.moved:
        return Move(name, scale, from_m, at, settable(scale, at), at, at, "", free=False)
    change = float(done.positions_m[index] - hanging.positions_m[index])
    there = float(hanging.stand.positions_m[index]) + change
    to = scale.scale.reading(there)
    low, high = bounds if bounds is not None else (0.0, 0.0)
    ends = sorted(scale.scale.reading(there + each) for each in (low, high))
    return Move(
        name, scale, from_m, to, settable(scale, to), ends[0], ends[1],
        toward=toward(tree, index, change), free=True,
    )  # fmt: skip


def _bounds(
    hanging: Hanging,
    done: Trimmed,
    placed: Placed | None,
    wanted_s: float | None,
    *,
    counts: bool,
) -> dict[int, tuple[float, float]]:
    """By adjuster, 95 % about where it goes; one that came to its end is not asked."""
    inside = [index for index in done.moved if not _at_end(hanging, done, index)]
    if not inside:
        return {}
    taken = [] if placed is None else [i for i in placed.estimates if takes_along(hanging, i)]
    exact = [*done.moved, *taken]
    told, tilt_rows = hanging.tilt_rows(done.positions_m, exact)
    rows = hanging.across_rows(done.positions_m, exact)
    scales = np.full(2, 1 / OFF_M)
    slopes = off_slopes(hanging.tree, hanging.hangs)[:2]
    if counts:
        rows = stack([rows, tilt_rows], rows.jacobian.shape[1])
        slopes = np.concatenate([slopes, told.to_positions])
        scales = np.concatenate([scales, np.full(2, 1 / OFF_RAD)])
    for index in taken:
        rows = _with_it(hanging, rows, slopes[:, [index]], placed, wanted_s)
    response = -np.linalg.pinv(scales[:, None] * slopes[:, inside]) * scales
    asked = rows._replace(
        jacobian=response @ rows.jacobian,
        rigging=response @ rows.rigging,
        seats=(hanging.stand.seats,) * len(inside),
    )
    found = hanging.inference.estimates(np.zeros(len(inside)), asked)
    return {
        index: each.moved(-each.value).interval() for index, each in zip(inside, found, strict=True)
    }


def _with_it(
    hanging: Hanging, rows: Rows, per_m: FloatArray, placed: Placed | None, wanted_s: float | None
) -> Rows:
    """Rows of how it hangs off, with what sets the drop wherever the wanted time takes it."""
    assert placed is not None
    goes = hanging.setting_rows(placed.settled, wanted_s)
    return rows._replace(
        jacobian=rows.jacobian + per_m * goes.jacobian, rigging=rows.rigging + per_m * goes.rigging
    )


def _at_end(hanging: Hanging, done: Trimmed, index: int) -> bool:
    scale = hanging.tree.scales[index]
    if scale.travel is None:
        return False
    ends = [scale.scale.position(each) for each in scale.travel]
    return bool(np.min(abs(np.array(ends) - done.positions_m[index])) < 1e-6)


def _placed(hanging: Hanging, done: Trimmed, lift: int, wanted_s: float) -> Placed | None:
    """What sets the wanted drop, all else where trim put it; None where it has no mark."""
    try:
        return place(hanging, [[lift]], wanted_s, done.positions_m)
    except UnreachableError:
        return None
