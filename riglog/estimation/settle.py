"""Where the adjusters go: upright, and with the pivot as high as the wanted drop time asks."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.estimation.forward import Balance, balance, off_slopes
from riglog.estimation.heights import FRICTION_SHIFT, height
from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.tree import Tree

# Newton steps: the center is linear in the adjusters, only k^2 bends the way a little.
_STEPS = 6


class Settled(NamedTuple):
    """A stand that hangs upright with the wanted drop time.

    Attributes
    ----------
    positions_m : (a,) array
    moved : (f,) array of int
        Which adjusters were free: along x, along y, along z, as far as there are any.
    response : (f, 3) array
        Change of each free adjuster per unit of fore-aft, side and depth error.
    hangs
        The balance there.
    """

    positions_m: FloatArray
    moved: npt.NDArray[np.intp]
    response: FloatArray
    hangs: Balance


def depth(tree: Tree, theta: FloatArray, hangs: Balance, positions_m: FloatArray) -> float:
    """Pivot above the center of gravity [m] as a drop time tells it: less what friction hides."""
    above = tree.below_m(positions_m, hangs.cg_m[0])
    friction = float(theta[tree.friction]) / (STANDARD_GRAVITY * float(hangs.mass_kg))
    return float(above - FRICTION_SHIFT * friction)


def settle(
    tree: Tree,
    theta: FloatArray,
    positions_m: FloatArray,
    free: Sequence[int],
    wanted: tuple[float, float] | None,
) -> Settled:
    """Positions at which the build hangs upright and drops in the wanted time.

    Parameters
    ----------
    theta : (p,) array
    positions_m : (a,) array [m]
        Where the adjusters stand.
    free
        Adjusters that may move, one an axis at most.
    wanted
        Drop time [s] and its factor, for what moves along z; None keeps the height.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a free adjuster moves nothing.
    """
    positions = positions_m.copy()
    moved = np.array(free, dtype=np.intp)
    axes = np.array([tree.along(index) for index in moved], dtype=np.intp)
    for _ in range(_STEPS):
        hangs = balance(tree, theta, positions[None])
        slopes = off_slopes(tree, hangs)[axes[:, None], moved]
        error = _errors(tree, theta, hangs, positions, wanted)[axes]
        positions[moved] -= np.linalg.solve(slopes, error)
    response = np.zeros((len(moved), 3))
    response[:, axes] = -np.linalg.inv(slopes)
    return Settled(positions, moved, response, balance(tree, theta, positions[None]))


def _errors(
    tree: Tree,
    theta: FloatArray,
    hangs: Balance,
    positions: FloatArray,
    wanted: tuple[float, float] | None,
) -> FloatArray:
    across = hangs.across_m[0] - tree.axis_m(theta, positions)[:2]
    if wanted is None:
        return np.array([*across, 0.0])
    k2 = hangs.gyration_m2[0]
    ask = height(wanted[0], wanted[1], k2)
    return np.array([*across, depth(tree, theta, hangs, positions) - ask])
