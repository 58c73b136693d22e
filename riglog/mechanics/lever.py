"""Balance along one axis: moving, adding and removing weight, and weighing on supports.

Positions are from any datum, positive or negative; a weight that is taken off is negative.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import FloatArray, floats


def balance_point(mass_kg: npt.ArrayLike, at_m: npt.ArrayLike) -> FloatArray:
    """Point (...,) [m] at which masses (..., n) [kg] at positions (..., n) [m] balance.

    Put the forces on two supports, or what two scales show, for the masses: then it is the center
    of gravity of what lies on them.

    Raises
    ------
    ValueError
        If the total is not positive.
    """
    mass_kg = floats(mass_kg)
    total = np.sum(mass_kg, axis=-1)
    if not np.all(total > 0.0):
        raise ValueError("the total mass must be positive")
    point: FloatArray = np.sum(mass_kg * floats(at_m), axis=-1) / total
    return point


def after_adding(
    total_kg: npt.ArrayLike, cg_m: npt.ArrayLike, added_kg: npt.ArrayLike, at_m: npt.ArrayLike
) -> FloatArray:
    """Center of gravity [m] when a mass is added, or taken off if negative.

    The *new* total divides: a part that was taken off no longer weighs.

    Raises
    ------
    ValueError
        If nothing is left.
    """
    masses = np.stack(np.broadcast_arrays(floats(total_kg), floats(added_kg)), axis=-1)
    places = np.stack(np.broadcast_arrays(floats(cg_m), floats(at_m)), axis=-1)
    return balance_point(masses, places)


def after_moving(
    total_kg: npt.ArrayLike,
    cg_m: npt.ArrayLike,
    moved_kg: npt.ArrayLike,
    *,
    from_m: npt.ArrayLike,
    to_m: npt.ArrayLike,
) -> FloatArray:
    """Center of gravity [m] when a part of the total is moved: it shifts by m (to - from) / M."""
    return floats(cg_m) + floats(moved_kg) / floats(total_kg) * (floats(to_m) - floats(from_m))


def mass_to_move(
    total_kg: npt.ArrayLike,
    cg_m: npt.ArrayLike,
    wanted_m: npt.ArrayLike,
    *,
    from_m: npt.ArrayLike,
    to_m: npt.ArrayLike,
) -> FloatArray:
    """Mass [kg] that must go from one place to another to put the center of gravity where wanted.

    Raises
    ------
    ValueError
        If both places are the same.
    """
    way = floats(to_m) - floats(from_m)
    if not np.all(way != 0.0):
        raise ValueError("a mass that stays where it is moves nothing")
    return floats(total_kg) * (floats(wanted_m) - floats(cg_m)) / way


def move_needed(
    total_kg: npt.ArrayLike, cg_m: npt.ArrayLike, wanted_m: npt.ArrayLike, part_kg: npt.ArrayLike
) -> FloatArray:
    """How far [m] a part must go to put the center of gravity where wanted.

    Raises
    ------
    ValueError
        If the part has no mass.
    """
    part_kg = floats(part_kg)
    if not np.all(part_kg > 0.0):
        raise ValueError("the part's mass must be positive")
    return floats(total_kg) * (floats(wanted_m) - floats(cg_m)) / part_kg
