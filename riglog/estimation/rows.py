"""Rows: sums of what hangs, to first order in the parameters, with what they share.

Two rows covary through the parameters, and through how the parts seated themselves: what is put
together once has one rigging error, which the parts that nobody touched since keep.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from itertools import product
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.estimation.forward import Balance, Weights, gradient
from riglog.estimation.priors import RIGGING_SD_M

if TYPE_CHECKING:
    from riglog.estimation.parameters import Parameters
    from riglog.estimation.tree import Tree
    from riglog.mechanics.arrays import FloatArray

# Share of each part's seating, by session and what it sits on.
Seats = dict[tuple[Hashable, str], float]


class Rows(NamedTuple):
    """k rows over p parameters.

    Attributes
    ----------
    jacobian : (k, p) array
    rigging : (k, 3) array
        Coefficients of a shift of the whole's center of gravity.
    seats : k mappings
        Share of each part's seating in that shift, by session and seat; the squares of the
        shares add up to 1.
    """

    jacobian: FloatArray
    rigging: FloatArray
    seats: tuple[Seats, ...]


def seats(tree: Tree, session: Hashable, mass_kg: FloatArray) -> Seats:
    """Share of each tilting part's seating error in that of the whole."""
    share = mass_kg / np.sqrt(np.sum(np.square(mass_kg)))
    return {
        (session, seat): float(part)
        for seat, part in zip(tree.seats, share, strict=True)
        if part > 0
    }


def stack(rows: Sequence[Rows], size: int) -> Rows:
    """All rows in one, over ``size`` parameters."""
    if not rows:
        return Rows(np.zeros((0, size)), np.zeros((0, 3)), ())
    return Rows(
        np.concatenate([group.jacobian for group in rows]),
        np.concatenate([group.rigging for group in rows]),
        tuple(seat for group in rows for seat in group.seats),
    )


def covariance(parameters_variance: FloatArray, left: Rows, right: Rows) -> FloatArray:
    """Prior covariance (k, l) of k rows with l others."""
    shared = (left.jacobian * parameters_variance) @ right.jacobian.T
    return shared + rigging_covariance(left, right)


def own_variance(parameters_variance: FloatArray, rows: Rows) -> FloatArray:
    """Prior variance (k,) of each of k rows: the diagonal of their covariance with themselves."""
    rigging = RIGGING_SD_M**2 * np.sum(np.square(rows.rigging), axis=1)
    return np.asarray(np.square(rows.jacobian) @ parameters_variance + rigging)


def rigging_covariance(left: Rows, right: Rows) -> FloatArray:
    """The part of it that comes of the parts' seating."""
    return RIGGING_SD_M**2 * _common_seats(left, right) * (left.rigging @ right.rigging.T)


def _common_seats(left: Rows, right: Rows) -> FloatArray:
    """Sum over common seats of the products of their shares, (k, l).

    Only rows of one session have any in common, and sessions are small.
    """
    common = np.zeros((len(left.seats), len(right.seats)))
    others = _by_session(right)
    # Rows of one stand have one mapping, and so each pair of stands is asked once.
    asked: dict[tuple[int, int], float] = {}
    for session, rows in _by_session(left).items():
        for row, column in product(rows, others.get(session, ())):
            one, other = left.seats[row], right.seats[column]
            pair = id(one), id(other)
            if pair not in asked:
                asked[pair] = _shared(one, other)
            common[row, column] = asked[pair]
    return common


def _by_session(rows: Rows) -> dict[Hashable, list[int]]:
    sessions: dict[Hashable, list[int]] = {}
    for index, seats_of in enumerate(rows.seats):
        for session, _ in list(seats_of)[:1]:
            sessions.setdefault(session, []).append(index)
    return sessions


def _shared(left: Seats, right: Seats) -> float:
    if left is right:
        return 1.0
    return sum(share * right[seat] for seat, share in left.items() if seat in right)


def add_tilt(
    row: FloatArray,
    tree: Tree,
    settings: npt.NDArray[np.intp],
    to_columns: FloatArray,
    to_positions: FloatArray,
) -> None:
    """Add to a row (p,) what it tells of the tilt of the principal axis (``products``).

    ``settings`` has the column of each adjuster's setting error; p where a setting is exact.
    """
    row[tree.columns] += to_columns
    known = settings < len(row)
    np.add.at(row, settings[known], to_positions[known])


def pull_back(
    parameters: Parameters,
    tree: Tree,
    hangs: Balance,
    weights: Weights,
    settings: npt.NDArray[np.intp],
    friction: FloatArray,
    pivot: FloatArray | None = None,
    centering: FloatArray | None = None,
) -> FloatArray:
    """Jacobian (k, p) of k sums of one tree's balance.

    Parameters
    ----------
    settings : (k, a) array of int
        Column of each adjuster's setting error; p where a setting is exact.
    friction : (k,) array
        Effect of the friction torque.
    pivot : (k,) array, optional
        Direct effect of the pivot's position, beside what it carries along; if left out, as much as
        that of the center along its way, the other way: the sums are of the center off the axis.
    centering : (k, 2) array, optional
        Effect of where a gimbal's tilt axis is; as far as the center's, the other way, if left out.
    """
    to_columns, to_positions = gradient(tree, hangs, weights)
    to_positions[:, tree.pivot] += -(weights.cg @ tree.way) if pivot is None else pivot
    size = len(parameters)
    # One column more takes up what is exact.
    jacobian = np.zeros((len(friction), size + 1))
    jacobian[:, tree.columns] = to_columns
    np.add.at(jacobian, (np.arange(len(friction))[:, None], settings), to_positions)
    jacobian[:, tree.friction] += friction
    if tree.centering:
        jacobian[:, tree.centering] = -weights.cg[:, :2] if centering is None else centering
    return jacobian[:, :size]
