"""What hangs, against an oracle that turns vectors and adds up part by part."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.dense import Dense
from estimation.scenes import random_hung, random_kit

from riglog.estimation.forward import Weights, balance, gradient
from riglog.estimation.parameters import Parameters
from riglog.estimation.tree import flatten
from riglog.mechanics.mass_properties import composite

if TYPE_CHECKING:
    from riglog.mechanics.arrays import FloatArray

SEEDS = range(10)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_random_build_balances_where_its_oracle_says(seed: int) -> None:
    rng = np.random.default_rng(seed)
    kit, stood = random_kit(rng), random_hung(rng)
    parameters = Parameters(kit)
    tree = flatten(parameters, stood)
    dense = Dense(kit)
    expected = dense.hangs(stood, dense.stated(stood))
    positions = tree.positions(stood)
    stated = {name: float(at) for name, at in dense.stated(stood).items()}
    assert dict(zip(tree.adjusters, positions.tolist(), strict=True)) == pytest.approx(stated)
    hangs = balance(tree, parameters.mean, positions[None])
    assert hangs.cg_m[0] == pytest.approx(expected.cg, abs=1e-12)
    assert hangs.gyration_m2[0] == pytest.approx(expected.k2, rel=1e-12)
    assert float(hangs.mass_kg) == pytest.approx(expected.mass, rel=1e-13)
    assert float(hangs.weight_kg) == pytest.approx(expected.weight, rel=1e-13)
    assert expected.weight - expected.mass == pytest.approx(0.9)  # the handle does not tilt


@pytest.mark.parametrize("seed", SEEDS)
def test_the_same_build_by_mass_properties_alone(seed: int) -> None:
    rng = np.random.default_rng(seed)
    kit, stood = random_kit(rng), random_hung(rng)
    parameters = Parameters(kit)
    tree = flatten(parameters, stood)
    theta = parameters.mean + np.sqrt(parameters.variance) * rng.standard_normal(len(parameters))
    positions = tree.positions(stood)
    hangs = balance(tree, theta, positions[None])
    on = tree.tilts
    scale = np.exp(theta[tree.columns] @ tree.log_inertia.T) * hangs.all_mass_kg
    whole = composite(
        hangs.all_mass_kg[on], hangs.part_cg_m[0, on], (scale[:, None, None] * tree.gyration)[on]
    )
    assert hangs.cg_m[0] == pytest.approx(whole.cg_m, abs=1e-12)
    assert hangs.gyration_m2[0] == pytest.approx(whole.inertia_kg_m2[1, 1] / whole.mass_kg)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_gradient_is_that_of_finite_differences(seed: int) -> None:
    rng = np.random.default_rng(seed)
    kit, stood = random_kit(rng), random_hung(rng)
    parameters = Parameters(kit)
    tree = flatten(parameters, stood)
    theta = parameters.mean + np.sqrt(parameters.variance) * rng.standard_normal(len(parameters))
    positions = tree.positions(stood)[None] + rng.normal(0, 0.01, (3, len(tree.adjusters)))
    weights = Weights(
        rng.standard_normal((3, 3)), rng.standard_normal(3), 0.1 * rng.standard_normal(3),
        rng.standard_normal((3, 2)),
    )  # fmt: skip

    def sums(at: FloatArray, where: FloatArray) -> FloatArray:
        hangs = balance(tree, at, where)
        told = np.einsum("ki,ki->k", weights.cg, hangs.cg_m)
        return np.asarray(
            told + weights.gyration * hangs.gyration_m2 + weights.weight * hangs.weight_kg
        )

    to_columns, to_positions = gradient(tree, balance(tree, theta, positions), weights)
    step = 1e-6
    for number, column in enumerate(tree.columns):
        nudge = step * np.eye(len(theta))[column]
        slope = (sums(theta + nudge, positions) - sums(theta - nudge, positions)) / (2 * step)
        assert to_columns[:, number] == pytest.approx(slope, abs=2e-9)
    for number in range(len(tree.adjusters)):
        nudge = step * np.eye(len(tree.adjusters))[number]
        slope = (sums(theta, positions + nudge) - sums(theta, positions - nudge)) / (2 * step)
        assert to_positions[:, number] == pytest.approx(slope, abs=2e-9)


def test_parameters_of_other_builds_change_nothing() -> None:
    rng = np.random.default_rng(3)
    kit, stood = random_kit(rng), random_hung(rng)
    parameters = Parameters(kit)
    parameters.setting("somebody else's", 0.001)
    tree = flatten(parameters, stood)
    assert 0 not in tree.columns


def test_leading_axes_are_trials_that_do_not_touch() -> None:
    rng = np.random.default_rng(4)
    kit, stood = random_kit(rng), random_hung(rng)
    parameters = Parameters(kit)
    tree = flatten(parameters, stood)
    trials = parameters.mean + np.sqrt(parameters.variance) * rng.standard_normal(
        (5, len(parameters))
    )
    positions = tree.positions(stood)[None]
    together = balance(tree, trials, positions)
    for number, theta in enumerate(trials):
        alone = balance(tree, theta, positions)
        assert together.cg_m[number] == pytest.approx(alone.cg_m, abs=1e-15)
        assert together.gyration_m2[number] == pytest.approx(alone.gyration_m2)


def test_what_rides_on_the_pivot_goes_along_and_what_does_not_tilt_weighs_nothing() -> None:
    rng = np.random.default_rng(5)
    kit, stood = random_kit(rng), random_hung(rng)
    parameters = Parameters(kit)
    tree = flatten(parameters, stood)
    here = tree.positions(stood)
    there = here.copy()
    there[tree.pivot] += 0.010
    low, high = balance(tree, parameters.mean, np.stack([here, there])).cg_m
    tilting = float(balance(tree, parameters.mean, here[None]).mass_kg)
    assert high - low == pytest.approx([0.0, 0.0, 0.010 * 0.35 / tilting], abs=1e-15)
