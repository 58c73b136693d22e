"""Trim: upright at rest, and level in a pan that a rigid-body engine makes.

What these functions find out the benchmark asks of 50 rigs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import pytest
from estimation.spun_rigs import TRAVELS, Array, Solid, center, hanging, placed, random_rig, spun
from scipy.optimize import lsq_linear  # type: ignore[import-untyped]  # scipy ships no types

from riglog.estimation.products import whole
from riglog.estimation.trim import trim
from riglog.mechanics.balance import critical_pan_rate, pan_lean

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.trim import Trimmed

HEIGHT_M = 0.0045  # of a 3 s drop
SLOW, FAST = 0.4, 3.0  # times the critical pan rate
STATIC = ("stage-fore-aft", "stage-side")


class Leans(NamedTuple):
    """Lean and side in a pan by the program and by the engine, [deg] each."""

    told: Array
    engine: Array


class Case(NamedTuple):
    """A rig trimmed at rest alone, and then for a pan too."""

    solids: list[Solid]
    hanging: Hanging
    pivot_m: float
    static: Trimmed
    full: Trimmed

    def moves(self, trimmed: Trimmed) -> dict[str, float]:
        change = trimmed.positions_m - self.hanging.positions_m
        return dict(zip(self.hanging.tree.adjusters, map(float, change), strict=True))

    def left_m(self) -> float:
        """Center of gravity off the axis, by the solids themselves."""
        return float(np.hypot(*center(self.solids, self.moves(self.full))[:2]))

    def rate(self, share: float) -> float:
        """A share of the critical pan rate [rad/s], trimmed at rest alone."""
        body = whole(self.hanging.tree, self.hanging.theta, self.static.positions_m)
        depth, tensor = self.pivot_m - body.cg_m[2], body.inertia_kg_m2
        return share * float(critical_pan_rate(body.mass_kg, depth, tensor[0, 0], tensor[2, 2]))

    def before(self, share: float, time_s: float) -> Leans:
        """The lean in a pan of the rig that is trimmed at rest alone."""
        body = whole(self.hanging.tree, self.hanging.theta, self.static.positions_m)
        rate = self.rate(share)
        cg = body.cg_m - np.array([0.0, 0.0, self.pivot_m])
        told = pan_lean(rate, body.mass_kg, cg, body.inertia_kg_m2)
        begun = float(told.lean_rad), float(told.side_rad)
        run = spun(self.solids, self.moves(self.static), self.pivot_m, rate, time_s, begun)
        return Leans(np.degrees(begun), np.degrees(run.mean(axis=0)))

    def after_deg(self, share: float, time_s: float) -> float:
        """The most that the trimmed rig ever leans in a pan that it begins upright."""
        moves = self.moves(self.full)
        pivot = float(center(self.solids, moves)[2]) + HEIGHT_M
        run = spun(self.solids, moves, pivot, self.rate(share), time_s)
        return float(np.degrees(np.max(np.hypot(*run.T))))

    def by_scipy(self) -> dict[str, float]:
        """The same moves by bounded least squares on the solids, linear by differences."""
        names = [self.hanging.tree.adjusters[index] for index in self.full.moved]
        most = np.array([TRAVELS[name][1] for name in names])
        at = np.zeros(len(names))
        for _ in range(8):
            steps = 1e-6 * np.eye(len(names))
            slopes = np.array(
                [
                    (
                        _errors(self.solids, names, at + step)
                        - _errors(self.solids, names, at - step)
                    )
                    / 2e-6
                    for step in steps
                ]
            ).T
            # A meter of move counts as much as a hundredth of a millimeter off trim.
            design = np.concatenate([slopes, np.eye(len(names))])
            target = -np.concatenate([_errors(self.solids, names, at), at])
            at = at + lsq_linear(design, target, (-most - at, most - at), tol=1e-14).x
        return dict(zip(names, map(float, at), strict=True))


def _errors(solids: list[Solid], names: list[str], at: Array) -> Array:
    """Off trim in hundredths of a millimeter, and the principal axis off upright in degrees."""
    moves = dict(zip(names, map(float, at), strict=True))
    masses = np.array([each.mass for each in solids])
    apart = np.array(placed(solids, moves)) - center(solids, moves)
    own = np.sum(masses[:, None] * np.array([each.size for each in solids]) ** 2 / 12, axis=0)
    second = (apart.T * masses) @ apart + np.diag(own)  # integral of x x' dm
    tilts = [
        0.5 * np.arctan2(-2 * second[axis, 2], second[2, 2] - second[axis, axis]) for axis in (0, 1)
    ]
    return np.concatenate([center(solids, moves)[:2] / 1e-5, np.degrees(tilts)])


def trimmed(seed: int) -> Case:
    """A random post rig."""
    solids = random_rig(seed)
    pivot = float(center(solids, {})[2]) + HEIGHT_M
    made = hanging(solids, pivot)
    names = made.tree.adjusters
    at_rest = [names.index(name) for name in STATIC]
    may_move = [index for index, name in enumerate(names) if name != "pivot"]
    static = trim(made.tree, made.theta, made.positions_m, at_rest, tilt=False)
    full = trim(made.tree, made.theta, made.positions_m, may_move)
    return Case(solids, made, pivot, static, full)


@pytest.fixture(scope="module", params=[0, 5])
def case(request: pytest.FixtureRequest) -> Case:
    return trimmed(request.param)


def test_the_trimmed_rig_is_upright_and_its_axis_too(case: Case) -> None:
    assert case.left_m() < 1e-4
    before, after = (np.hypot(*each.tilt_rad) for each in (case.static, case.full))
    assert after < 0.1 * before


def test_a_pan_leaves_the_trimmed_rig_upright(case: Case) -> None:
    assert case.after_deg(FAST, 10.0) < 0.2


@pytest.mark.parametrize("share", [SLOW, FAST])
def test_the_lean_in_a_pan_is_that_of_the_integrated_motion(case: Case, share: float) -> None:
    told, engine = case.before(share, 12.0)
    assert np.hypot(*told) > 0.5
    # The figures told are of first order in the lean.
    assert np.hypot(*(told - engine)) < 0.04 * np.hypot(*told)


def test_the_lean_changes_sign_at_the_critical_rate(case: Case) -> None:
    below, above = (case.before(share, 0.01).told[0] for share in (SLOW, FAST))
    assert below * above < 0


def test_the_moves_are_those_of_another_solver(case: Case) -> None:
    ours, theirs = case.moves(case.full), case.by_scipy()
    assert {name: ours[name] for name in theirs} == pytest.approx(theirs, abs=1e-6)


def test_every_move_stays_within_its_travel_and_moves_no_more_than_needed(case: Case) -> None:
    moves = case.moves(case.full)
    assert all(abs(moves[name]) <= most + 1e-12 for name, (_, most) in TRAVELS.items())
    assert 2 <= len(case.full.moved) <= 4
    assert set(case.static.moved) <= {case.hanging.tree.adjusters.index(name) for name in STATIC}


def test_what_no_travel_reaches_is_trimmed_first_and_level_as_far_as_that_allows() -> None:
    case = trimmed(1)
    tree, theta = case.hanging.tree, case.hanging.theta
    only = [tree.adjusters.index(name) for name in STATIC]
    done = trim(tree, theta, case.hanging.positions_m, only)
    assert np.hypot(*done.across_m) < 1e-5
    assert done.tilt_rad == pytest.approx(case.static.tilt_rad, abs=2e-3)


def test_a_rig_that_is_upright_and_level_moves_nothing(case: Case) -> None:
    again = trim(case.hanging.tree, case.hanging.theta, case.full.positions_m, case.full.moved)
    assert again.moved == ()
