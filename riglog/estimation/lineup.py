"""Many stands settled at once for many drop times, as a table of lenses asks.

The masses of a stand are what they are, so its center of gravity is linear and its k^2 quadratic
in where the free adjusters go:

    c(u) = c0 + C' u,    k^2(u) = k0 + 2 b . u + u' B u.

Each stand is brought down to these few figures once; the Newton steps of ``settle`` are then taken
for n stands and d drop times together, and what is asked of all of them goes through the posterior
as one set of rows.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.forward import Weights
from riglog.estimation.heights import (
    FRICTION_SHIFT,
    FROM_HORIZONTAL,
    height,
    height_slopes,
    shortest_s,
)
from riglog.estimation.many import Estimates, estimates
from riglog.estimation.rows import Rows, pull_back, stack
from riglog.estimation.wild import marginals
from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.inference import Inference

_STEPS = 6
_ACROSS = np.array([1.0, 0.0, 1.0])


class Reduced(NamedTuple):
    """Stands as functions of where their free adjusters go, u (3,) along x, y and z.

    Attributes
    ----------
    free : (n, 3) array of int
        The adjuster that moves along each axis, -1 where none does.
    start_m : (n, 3) array
        Where those stand.
    center_m, center_per : (n, 3), (n, 3, 3) arrays
        Center of gravity as it counts for how it hangs, at u = 0 and per unit of each u.
    gyration_m2, gyration_per, gyration_bend : (n,), (n, 3), (n, 3, 3) arrays
        k^2 at u = 0, half its slope, and half its second derivative.
    hidden_m : (n,) array
        Height that friction hides.
    axis_m, axis_per : (n, 3), (n, 3, 3) arrays
        Where the tilt axis is at u = 0, and its change per unit of each u.
    up : (n,) array
    """

    free: npt.NDArray[np.intp]
    start_m: FloatArray
    center_m: FloatArray
    center_per: FloatArray
    gyration_m2: FloatArray
    gyration_per: FloatArray
    gyration_bend: FloatArray
    hidden_m: FloatArray
    axis_m: FloatArray
    axis_per: FloatArray
    up: FloatArray

    @property
    def off_per(self) -> FloatArray:
        """Change of the center of gravity off the tilt axis per unit of each u, (n, 3, 3)."""
        return self.center_per - self.axis_per


class Lineup(NamedTuple):
    """Stands that hang upright with the pivot as high as each drop time wants.

    Attributes
    ----------
    reduced
    wanted_s : (d,) array
    moved_m : (n, d, 3) array
        How far each free adjuster goes, 0 where there is none.
    response : (n, 3, 3) array
        Change of each free adjuster per unit of fore-aft, side and depth error.
    gyration_m2, depth_m : (n, d) arrays
        Of the settled stands.
    reached : (n, d) array of bool
        Whether any mark drops so soon; the figures of one that does not are those of the shortest.
    """

    reduced: Reduced
    wanted_s: FloatArray
    moved_m: FloatArray
    response: FloatArray
    gyration_m2: FloatArray
    depth_m: FloatArray
    reached: npt.NDArray[np.bool_]

    def positions_m(self, hanging: Hanging, index: int) -> FloatArray:
        """Positions (d, a) of all adjusters of stand number ``index``."""
        free = self.reduced.free[index]
        there = free >= 0
        positions = np.tile(hanging.stand.positions_m, (len(self.wanted_s), 1))
        positions[:, free[there]] += self.moved_m[index][:, there]
        return positions


def reduce(stands: Sequence[Hanging], free: Sequence[Sequence[int]]) -> Reduced:
    """Stands brought down to what settling them needs; ``free`` one adjuster an axis at most."""
    return Reduced(*map(np.array, zip(*map(_reduced, stands, free), strict=True)))


def _reduced(hanging: Hanging, free: Sequence[int]) -> tuple[object, ...]:
    tree, start = hanging.tree, hanging.stand.positions_m
    slots = np.full(3, -1)
    for index in free:
        slots[tree.along(index)] = index
    hangs = hanging.at(start)
    share = hangs.part_mass_kg / hangs.mass_kg
    slides = np.where((slots >= 0)[None, :, None], tree.slides[:, slots], 0.0)
    center_per = np.einsum("n,nsi->si", share, slides)
    apart = (hangs.part_cg_m[0] - hangs.cg_m[0]) * _ACROSS
    spread = slides - center_per
    if tree.aside is not None:
        aside = np.where((slots >= 0)[None, :, None], tree.aside.slides[:, slots], 0.0)
        center_per = center_per + np.pad(np.einsum("n,nsi->si", share, aside), ((0, 0), (0, 1)))
    return (
        slots,
        np.where(slots >= 0, start[slots], 0.0),
        np.append(hangs.across_m[0], hangs.cg_m[0, 2]),
        center_per,
        hangs.gyration_m2[0],
        np.einsum("n,ni,nsi->s", share, apart, spread),
        np.einsum("n,nsi,nti,i->st", share, spread, spread, _ACROSS),
        FRICTION_SHIFT * hanging.theta[tree.friction] / (STANDARD_GRAVITY * hangs.mass_kg),
        tree.axis_m(hanging.theta, start),
        np.where((slots == tree.pivot)[:, None], tree.way, 0.0),
        tree.up,
    )


def line_up(reduced: Reduced, wanted_s: FloatArray) -> Lineup:
    """Settle all of them for drop times from horizontal (d,), as ``settle`` does one.

    Where nothing is free along z the depth is what it has there, whatever is wanted.
    """
    there = reduced.free >= 0
    slopes = _slopes(reduced, there)
    inverse = np.linalg.inv(slopes)
    shortest = shortest_s(FROM_HORIZONTAL, reduced.gyration_m2)[:, None]
    time = np.maximum(wanted_s, shortest)
    moved = np.zeros((len(there), len(wanted_s), 3))
    for _ in range(_STEPS):
        center, k2 = _hangs(reduced, moved)
        axis = _axis(reduced, moved)
        depth = _depth(reduced, center, axis)
        errors = np.concatenate(
            [
                center[..., :2] - axis[..., :2],
                (depth - height(time, FROM_HORIZONTAL, k2))[..., None],
            ],
            axis=-1,
        )
        moved -= np.einsum("nst,ndt->nds", inverse, np.where(there[:, None], errors, 0.0))
    center, k2 = _hangs(reduced, moved)
    response = np.where(there[:, :, None] & there[:, None, :], -inverse, 0.0)
    depth = _depth(reduced, center, _axis(reduced, moved))
    return Lineup(reduced, wanted_s, moved, response, k2, depth, wanted_s >= shortest)


def _slopes(reduced: Reduced, there: npt.NDArray[np.bool_]) -> FloatArray:
    """Change of fore-aft, side and depth error per unit of each u, (n, 3, 3); 1 where none is."""
    slopes = np.swapaxes(reduced.off_per, -1, -2).copy()
    slopes[:, 2] *= -reduced.up[:, None]
    both = there[:, :, None] & there[:, None, :]
    return np.where(both, slopes, np.eye(3))


def _hangs(reduced: Reduced, moved_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Center of gravity (n, d, 3) and k^2 (n, d) with the adjusters moved by (n, d, 3)."""
    center = reduced.center_m[:, None] + moved_m @ reduced.center_per
    bend = np.einsum("nds,nst,ndt->nd", moved_m, reduced.gyration_bend, moved_m)
    slope = np.einsum("nds,ns->nd", moved_m, reduced.gyration_per)
    return center, reduced.gyration_m2[:, None] + 2.0 * slope + bend


def _axis(reduced: Reduced, moved_m: FloatArray) -> FloatArray:
    """Where the tilt axis is, (n, d, 3), with the adjusters moved by (n, d, 3)."""
    axis: FloatArray = reduced.axis_m[:, None] + moved_m @ reduced.axis_per
    return axis


def _depth(reduced: Reduced, center: FloatArray, axis: FloatArray) -> FloatArray:
    above = axis[..., 2] - center[..., 2]
    depth: FloatArray = reduced.up[:, None] * above - reduced.hidden_m[:, None]
    return depth


class Told(NamedTuple):
    """What is known of where the adjusters of n stands go, each l = d + 3 quantities a stand.

    In this order: the true position of what moves along z, usually the pivot, for each of the d
    drop times, the position at which it is neutral, and that of what moves along x and along y for
    the first of the drop times.
    """

    estimates: Estimates
    drops: int

    def upright(self, stand: int, drop: int) -> int:
        """Number of the estimate of what moves along z."""
        return stand * (self.drops + 3) + drop

    def neutral_quantile(self, probability: float, widened: FloatArray) -> FloatArray:
        """Positions (n,) that neutral stays below with this probability, set with these errors."""
        width = self.drops + 3
        of_neutral = Estimates(*(each[self.drops :: width] for each in self.estimates))
        return of_neutral.quantile(probability, widened[:, None])

    def across(self, stand: int, axis: int) -> int:
        """Number of that of what moves along x (0) or y (1)."""
        return stand * (self.drops + 3) + self.drops + 1 + axis


def tell(inference: Inference, stands: Sequence[Hanging], lineup: Lineup) -> Told:
    """Estimates of where everything goes, all stands in one go through the posterior."""
    found = [_rows(hanging, lineup, index) for index, hanging in enumerate(stands)]
    rows = stack([rows for _, rows in found], len(inference.parameters))
    value = np.concatenate([value for value, _ in found])
    mixed = marginals(inference.posterior, inference.why, rows)
    there = rows.jacobian @ (inference.theta - inference.posterior.theta)
    means = value + mixed.change - there
    return Told(estimates(mixed.weight, means, mixed.sd), len(lineup.wanted_s))


def _rows(hanging: Hanging, lineup: Lineup, index: int) -> tuple[FloatArray, Rows]:
    """Values (d + 3,) and rows of one stand, in the order of ``Told``."""
    tree, drops = hanging.tree, len(lineup.wanted_s)
    axes = np.array([2] * (drops + 1) + [0, 1])
    at = np.array([*range(drops), 0, 0, 0])
    positions = lineup.positions_m(hanging, index)
    hangs = hanging.at_all(positions[at])
    response = lineup.response[index][axes]
    k2 = lineup.gyration_m2[index]
    time = np.maximum(lineup.wanted_s, shortest_s(FROM_HORIZONTAL, k2))
    per_k2 = height_slopes(time, FROM_HORIZONTAL, k2)[1][at]
    per_k2[drops] = 0.0
    weights = Weights(
        response * np.array([1.0, 1.0, -tree.up]), -per_k2 * response[:, 2], np.zeros(len(axes)),
        response[:, :2],
    )  # fmt: skip
    free = lineup.reduced.free[index]
    value = lineup.reduced.start_m[index][axes] + lineup.moved_m[index][at, axes]
    value[drops] += response[drops, 2] * lineup.depth_m[index, 0]
    jacobian = pull_back(
        hanging.inference.parameters, tree, hangs, weights,
        _settings(hanging, free[free >= 0], len(axes)),
        -hanging.friction_m_per_n_m(hangs) * response[:, 2],
    )  # fmt: skip
    return value, Rows(jacobian, weights.cg, (hanging.stand.seats,) * len(axes))


def _settings(hanging: Hanging, exact: npt.NDArray[np.intp], count: int) -> npt.NDArray[np.intp]:
    settings = np.tile(hanging.stand.settings, (count, 1))
    settings[:, exact] = len(hanging.inference.parameters)
    return settings
