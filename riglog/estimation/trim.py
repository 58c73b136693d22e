"""The moves that hang a rig upright and null the tilt of its principal axis, within all travels.

The center of gravity and the products of inertia are linear in the slides along x and y; slides
along z, and the difference of the moments in the tilt, bend the way a little. So bounded least
squares is taken a few times, each about where the last one came to. Static trim counts so much more
than the tilt that the tilt is nulled as far as trim allows.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.forward import Balance, balance, off_slopes
from riglog.estimation.products import tilts
from riglog.mechanics.bounded import bounded_least_squares

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.tree import Tree
    from riglog.mechanics.arrays import FloatArray

# Off trim by a hundredth of a millimeter counts as much as a tilt of 1 degree.
OFF_M, OFF_RAD = 1e-5, 0.017453292519943295
# A move of a meter counts as much as either: it only tells apart what else is as good.
_MOVE_M = 1.0
_STEPS, _SETTLED_M = 8, 1e-7
# So much worse than the best is good enough to be taken for its fewer moves.
_TRIMMED_M, _LEVEL_RAD = 5e-5, 0.0008
# With more adjusters than this, those that do the least alone are left out of the search.
_MOST = 6


class Trimmed(NamedTuple):
    """A stand that hangs upright, as far as its adjusters allow.

    Attributes
    ----------
    positions_m : (a,) array
    moved
        The adjusters that move.
    across_m : (2,) array
        Center of gravity off the pivot axis along x and y; 0 along y of a ring, which may lie
        anywhere between its two pivots.
    tilt_rad : (2,) array
        Of the principal axis, in the x-z and the y-z plane.
    """

    positions_m: FloatArray
    moved: tuple[int, ...]
    across_m: FloatArray
    tilt_rad: FloatArray


def trim(
    tree: Tree,
    theta: FloatArray,
    start_m: FloatArray,
    may_move: Sequence[int],
    *,
    tilt: bool = True,
    off_m: FloatArray | None = None,
) -> Trimmed:
    """The fewest moves that are about as good as moving everything.

    Parameters
    ----------
    theta : (p,) array
    start_m : (a,) array [m]
        Where the adjusters stand.
    may_move
        Adjusters that may.
    tilt
        Whether the tilt of the principal axis counts at all.
    off_m : (2,) array [m], optional
        How far the center of gravity is off along x and y beyond what the parameters say: how the
        parts seated themselves.
    """
    problem = _Problem(tree, theta, start_m, tilt, np.zeros(2) if off_m is None else off_m)
    least = _trimmed(problem, tuple(may_move))
    goal = _Goal.near(least, tilt=tilt)
    several = _promising(problem, may_move)
    for count in range(len(several) + 1):
        tried = [_trimmed(problem, moved) for moved in combinations(several, count)]
        best = min(tried, key=lambda each: _cost(each, tilt=tilt))
        if goal.met_by(best):
            return best
    return least


class _Problem(NamedTuple):
    """What is to be trimmed, and from where."""

    tree: Tree
    theta: FloatArray
    start_m: FloatArray
    tilt: bool
    off_m: FloatArray


class _Goal(NamedTuple):
    """How near trim [m] and level [rad] is near enough."""

    off_m: float
    tilt_rad: float

    @classmethod
    def near(cls, best: Trimmed, *, tilt: bool) -> _Goal:
        """A little worse than the best that can be had."""
        off = float(np.hypot(*best.across_m)) + _TRIMMED_M
        if not tilt:
            return cls(off, np.inf)
        return cls(off, float(np.hypot(*best.tilt_rad)) + _LEVEL_RAD)

    def met_by(self, found: Trimmed) -> bool:
        off, left = np.hypot(*found.across_m), np.hypot(*found.tilt_rad)
        return bool(off <= self.off_m and left <= self.tilt_rad)


def _cost(found: Trimmed, *, tilt: bool) -> float:
    off = np.sum(np.square(found.across_m / OFF_M))
    return float(off + (np.sum(np.square(found.tilt_rad / OFF_RAD)) if tilt else 0.0))


def _promising(problem: _Problem, may_move: Sequence[int]) -> list[int]:
    """The adjusters that do something, those that do most if there are many."""
    does = np.max(abs(_linear(problem, problem.start_m)[1]), axis=0)
    useful = [index for index in may_move if does[index] > 0.0]
    best = sorted(useful, key=lambda index: -does[index])[:_MOST]
    return [index for index in useful if index in best]


def _trimmed(problem: _Problem, moved: tuple[int, ...]) -> Trimmed:
    """As near to trim and level as these adjusters bring it."""
    at = np.array(moved, dtype=np.intp)
    ends = np.array([_ends(problem.tree, index) for index in moved]).reshape(-1, 2)
    positions = problem.start_m.copy()
    for _ in range(_STEPS if moved else 0):
        error, slopes = _linear(problem, positions)
        gone = (positions - problem.start_m)[at] / _MOVE_M
        design = np.concatenate([slopes[:, at], np.eye(len(at)) / _MOVE_M])
        low, high = (ends - positions[at, None]).T
        step = bounded_least_squares(
            design, -np.concatenate([error, gone]), np.minimum(low, 0.0), np.maximum(high, 0.0)
        )
        positions[at] += step
        if np.max(abs(step)) <= _SETTLED_M:
            break
    told = tilts(problem.tree, problem.theta, positions)
    hangs = balance(problem.tree, problem.theta, positions[None])
    return Trimmed(positions, moved, _across(problem, hangs, positions), told.value)


def _across(problem: _Problem, hangs: Balance, positions: FloatArray) -> FloatArray:
    axis = problem.tree.axis_m(problem.theta, positions)[:2]
    across: FloatArray = (hangs.across_m[0] + problem.off_m - axis) * _counts(problem.tree)
    return across


def _counts(tree: Tree) -> FloatArray:
    """Along x and y, whether it matters: to the sides a ring is carried by both its pivots."""
    return np.array([1.0, 0.0 if tree.rig.type == "ring" else 1.0])


def _linear(problem: _Problem, positions: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Errors (2 or 4,) in their own units, and their change per unit of each adjuster (., a)."""
    told = tilts(problem.tree, problem.theta, positions)
    hangs = balance(problem.tree, problem.theta, positions[None])
    slopes = _counts(problem.tree)[:, None] * off_slopes(problem.tree, hangs)[:2] / OFF_M
    across = _across(problem, hangs, positions) / OFF_M
    if not problem.tilt:
        return across, slopes
    return (
        np.concatenate([across, told.value / OFF_RAD]),
        np.concatenate([slopes, told.to_positions / OFF_RAD]),
    )


def _ends(tree: Tree, index: int) -> tuple[float, float]:
    """The travel of an adjuster as positions, the lower first."""
    scale = tree.scales[index]
    if scale.travel is None:
        return -np.inf, np.inf
    low, high = sorted(scale.scale.position(each) for each in scale.travel)
    return low, high
