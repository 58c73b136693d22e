from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest

from riglog.mechanics.mass_properties import composite

if TYPE_CHECKING:
    import numpy.typing as npt

# FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge, chapter "Weight and Balance", in
# pounds and inches: the lever knows no units. What is taken off weighs less than nothing.


def balance_point(mass: npt.ArrayLike, at: npt.ArrayLike) -> float:
    """Where masses at places along x balance."""
    x = np.asarray(at, dtype=float)
    places = np.stack([x, 0.0 * x, 0.0 * x], axis=-1)
    return float(composite(mass, places, np.zeros((x.size, 3, 3))).cg_m[0])


def test_moving_weight_aft() -> None:
    # "Weight Shifting": 100 lb from station 30 to 150 in 8,000 lb with a moment of 616,000.
    cg = balance_point([8000.0, -100.0, 100.0], [616000.0 / 8000.0, 30.0, 150.0])
    assert math.isclose(cg, 78.5, abs_tol=1e-9)
    assert math.isclose(cg * 8000.0, 628000.0, abs_tol=1e-6)


def test_adding_weight() -> None:
    # "Weight Addition or Removal": 140 lb at station 150 in 6,860 lb at 80.0.
    assert math.isclose(balance_point([6860.0, 140.0], [80.0, 150.0]), 81.4, abs_tol=1e-9)


def test_removing_weight() -> None:
    # From memory: same section, second example; 78.833 exactly.
    assert math.isclose(balance_point([6100.0, -100.0], [80.0, 150.0]), 78.8, abs_tol=0.05)


def test_removing_weight_from_the_far_side_of_the_datum() -> None:
    # avia-exams.com, mass and balance, question 4; the answer is derived.
    cg = balance_point([60000.0, -1250.0], [2.0, -6.0])
    assert math.isclose(cg, 2.17, abs_tol=0.0005)


def test_weight_to_move() -> None:
    # Same chapter: 65 lb from station 150 to 30 bring 7,800 lb from 81.5 to 80.5.
    assert math.isclose(balance_point([7800.0, -65.0, 65.0], [81.5, 150.0, 30.0]), 80.5)
    # ATPL question 17 (atplquestions.com), in metric.
    assert math.isclose(balance_point([7500.0, -62.5, 62.5], [80.5, 150.0, 30.0]), 79.5)


def test_a_swap_takes_the_old_part_out_of_the_total() -> None:
    # An answer page prints 94.77 by adding where it should shift; 95.33 is right.
    moved = balance_point([4700.0, -80.0, 80.0], [97.0, 142.0, 44.0])
    assert math.isclose(moved, 95.33, abs_tol=0.005)
    lighter = balance_point([4700.0, -80.0], [97.0, 142.0])
    assert math.isclose(balance_point([4620.0, 80.0], [lighter, 44.0]), moved, rel_tol=1e-14)


def test_weighing_on_two_supports() -> None:
    # FAA-H-8083-1, "Nosewheel Airplane With Datum Ahead of the Main Wheels": 340 lb on a nose
    # wheel 78 in ahead of the main wheels, 2,006 lb in all, main wheels at 128 in. The result
    # from the datum is from memory.
    from_main = balance_point([340.0, 2006.0 - 340.0], [-78.0, 0.0])
    assert math.isclose(from_main, -13.2, abs_tol=0.05)
    from_datum = balance_point([340.0, 2006.0 - 340.0], [128.0 - 78.0, 128.0])
    assert math.isclose(from_datum, 114.8, abs_tol=0.05)


def test_loading_table() -> None:
    # Same handbook, computational method; the arms of the rows are from memory.
    mass = np.array([2100.0, 340.0, 350.0, 450.0, 80.0])
    at = np.array([78.3, 85.0, 121.0, 75.0, 150.0])
    assert math.isclose(balance_point(mass, at), 84.8, abs_tol=0.05)
    assert math.isclose(balance_point(mass, at) * mass.sum(), 281430.0, abs_tol=1e-6)


def test_sliding_one_of_three_weights() -> None:
    # FAA-H-8083-1, chapter 2; the three weights are from memory.
    mass, at = np.array([100.0, 200.0, 200.0]), np.array([0.0, 80.0, 100.0])
    assert balance_point(mass, at) == 72.0
    assert math.isclose(balance_point(mass, np.add(at, [0.0, -55.0, 0.0])), 50.0, abs_tol=1e-9)


def test_nothing_has_no_balance_point() -> None:
    with pytest.raises(ValueError, match="must be positive"):
        balance_point([100.0, -100.0], [1.0, 1.0])
