"""Where the adjusters go, judged by the pendulum's own drop time."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.scenes import A_CAM, PARTS, STANDS, hung, kit, random_hung, random_kit

from riglog.estimation.heights import FRICTION_SHIFT, FROM_HORIZONTAL
from riglog.estimation.parameters import Parameters
from riglog.estimation.settle import Settled, settle
from riglog.estimation.tree import Tree, flatten
from riglog.mechanics.pendulum import drop_time
from riglog.records import Part

if TYPE_CHECKING:
    from riglog.estimation.kit import Hung, Kit

ON_THE_RIG = ("stage-fore-aft", "stage-side", "pivot")


class Scene:
    """A build without friction, its figures a draw from what is believed of them."""

    def __init__(self, of: Kit, stood: Hung, seed: int) -> None:
        rng = np.random.default_rng(seed)
        parameters = Parameters(of)
        self.tree: Tree = flatten(parameters, stood)
        spread = np.sqrt(parameters.variance) * rng.standard_normal(len(parameters))
        self.theta = parameters.mean + spread
        self.theta[self.tree.friction] = 0.0
        self.start = self.tree.positions(stood)
        self.free = [self.tree.adjusters.index(name) for name in ON_THE_RIG]

    def settle(self, wanted_s: float | None, tree: Tree | None = None) -> Settled:
        wanted = None if wanted_s is None else (wanted_s, FROM_HORIZONTAL)
        return settle(tree or self.tree, self.theta, self.start, self.free, wanted)

    def off(self, settled: Settled) -> np.ndarray:
        """Center of gravity forward, to the left and below the pivot axis [m]."""
        cg = settled.hangs.cg_m[0]
        across = cg[:2] - self.tree.rig.pivot_at
        below = self.tree.up * (settled.positions_m[self.tree.pivot] - cg[2])
        return np.array([*across, below])


def carrying(mode: str = "high") -> Hung:
    """A build whose pivot carries its yoke, and whose handle does not tilt."""
    parts = (
        *PARTS,
        Part(component="inner-yoke", on="yoke"),
        Part(component="handle", on="handle"),
    )
    return hung(replace(A_CAM, parts=parts, mode=mode))


@pytest.mark.parametrize("mode", ["high", "low"])
@pytest.mark.parametrize("wanted_s", [1.8, 3.0, 8.0])
def test_a_settled_rig_hangs_upright_and_drops_in_the_wanted_time(
    mode: str, wanted_s: float
) -> None:
    scene = Scene(kit(), carrying(mode), seed=1)
    settled = scene.settle(wanted_s)
    forward, left, below = scene.off(settled)
    assert [forward, left] == pytest.approx([0.0, 0.0], abs=1e-12)
    time = drop_time(below, settled.hangs.gyration_m2[0])
    assert float(time) == pytest.approx(wanted_s, abs=1e-6)


@pytest.mark.parametrize("seed", range(12))
def test_so_does_a_random_one_with_turned_parts_and_scales_that_read_down(seed: int) -> None:
    rng = np.random.default_rng(seed)
    scene = Scene(random_kit(rng), random_hung(rng), seed)
    settled = scene.settle(3.0)
    forward, left, below = scene.off(settled)
    assert [forward, left] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert float(drop_time(below, settled.hangs.gyration_m2[0])) == pytest.approx(3.0, abs=1e-6)


def test_what_the_pivot_carries_makes_it_travel_further() -> None:
    scene = Scene(kit(), carrying(), seed=2)
    slow, fast = scene.settle(4.0), scene.settle(2.5)
    travel = fast.positions_m[0] - slow.positions_m[0]
    rise = scene.off(fast)[2] - scene.off(slow)[2]
    yoke = scene.tree.parts.index("inner-yoke")
    share = slow.hangs.part_mass_kg[yoke] / slow.hangs.mass_kg
    assert rise == pytest.approx(travel * (1 - share), rel=1e-12)


def test_upright_alone_leaves_the_pivot_where_it_is() -> None:
    scene = Scene(kit(), carrying(), seed=3)
    settled = scene.settle(None)
    assert settled.positions_m[scene.tree.pivot] == STANDS["pivot"]
    assert scene.off(settled)[:2] == pytest.approx([0.0, 0.0], abs=1e-12)


def test_adjusters_that_are_not_free_stay() -> None:
    scene = Scene(kit(), carrying(), seed=4)
    scene.free = [scene.tree.pivot]
    settled = scene.settle(3.0)
    assert settled.moved.tolist() == [scene.tree.pivot]
    assert settled.positions_m[1:] == pytest.approx(scene.start[1:], abs=0)
    assert float(drop_time(scene.off(settled)[2], settled.hangs.gyration_m2[0])) == pytest.approx(3)


def test_under_friction_the_pivot_stands_higher_by_what_friction_hides() -> None:
    scene = Scene(kit(), carrying(), seed=5)
    smooth = scene.off(scene.settle(3.0))[2]
    scene.theta[scene.tree.friction] = 0.012
    settled = scene.settle(3.0)
    shift = FRICTION_SHIFT * 0.012 / (9.80665 * float(settled.hangs.mass_kg))
    assert scene.off(settled)[2] - smooth == pytest.approx(shift, rel=1e-3)


@pytest.mark.parametrize("mode", ["high", "low"])
def test_the_response_is_how_far_the_slides_go_for_an_error_of_trim(mode: str) -> None:
    scene = Scene(kit(), carrying(mode), seed=6)
    settled = scene.settle(3.0)
    for axis in (0, 1):
        # A tilt axis that lies further along is an error of trim the other way.
        at = [0.0, 0.0]
        at[axis] = -1e-6
        rig = replace(scene.tree.rig, pivot_at=(at[0], at[1]))
        moved = scene.settle(3.0, scene.tree._replace(rig=rig))
        change = (moved.positions_m - settled.positions_m)[settled.moved] / 1e-6
        # The mark also follows k^2 as the parts spread, which the response leaves out.
        assert change[axis] == pytest.approx(settled.response[axis, axis], rel=1e-5)
    own = 1 - float(
        settled.hangs.part_mass_kg
        @ scene.tree.slides[:, scene.tree.pivot, 2]
        / settled.hangs.mass_kg
    )
    assert settled.response[2, 2] == pytest.approx(-scene.tree.up / own)


def test_a_slide_that_moves_nothing_is_refused() -> None:
    scene = Scene(kit(), hung(replace(A_CAM, parts=(PARTS[0],))), seed=7)
    with pytest.raises(np.linalg.LinAlgError):
        scene.settle(3.0)
