"""Pivots on guides that do not stand upright, against oracles that know nothing of ours.

The dense fit of ``dense`` turns the guides by Rodrigues' formula; MuJoCo is a rigid-body engine.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin
from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.dense import Dense
from estimation.scenes import AT, DAY, drop, hung, kit, logged, random_hung, random_kit
from mechanics.rigid_body import Solid, simulated_drop

from riglog.estimation import wild
from riglog.estimation.heights import FRICTION_SHIFT
from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung, Kit
from riglog.estimation.observations import Observations
from riglog.estimation.stands import Stands
from riglog.records import (
    Adjuster,
    BalancePoint,
    Build,
    Component,
    HangsUpright,
    Hold,
    Lean,
    Mount,
    Part,
    Rig,
    Spin,
    Swing,
)

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.parameters import Parameters
    from riglog.mechanics.arrays import FloatArray

GRAVITY = 9.80665


def leaning(of: Kit, lean_rad: float, axis: str = "z") -> Kit:
    """The same kit, its post leaning or lying fore and aft, so that its pivot is about below."""
    rig = of.rigs["post-one"]
    adjusters = tuple(
        replace(each, lean=lean_rad, axis=axis) if each.id == "pivot" else each
        for each in rig.adjusters
    )
    at = (-0.45 * (sin(lean_rad) if axis == "z" else 1.0), 0.0)
    return of._replace(rigs={rig.id: replace(rig, adjusters=adjusters, pivot_at=at)})


@pytest.fixture
def nobody_is_wild(monkeypatch: pytest.MonkeyPatch) -> None:
    """The oracle believes every reading, and so shall the fit."""
    monkeypatch.setattr(wild, "WILD_SHARE", 1e-300)


def settled(oracle: Dense, stood: Hung, wanted_s: float) -> Hung:
    """The build trimmed for a drop time, by what is believed of it, set to whole steps."""
    scales, positions = oracle.scales(stood.build), oracle.settled(stood, wanted_s)
    settings = {
        name: round(scales[name].scale.reading(float(at)), 3) for name, at in positions.items()
    }
    return stood._replace(settings=settings)


@pytest.mark.usefixtures("nobody_is_wild")
@pytest.mark.parametrize(
    ("seed", "mode", "lean_deg"), [(11, "high", 25.0), (12, "low", 25.0), (13, "high", -40.0)]
)
def test_a_rig_on_guides_that_lean_agrees_with_the_dense_fit(
    seed: int, mode: str, lean_deg: float
) -> None:
    rng = np.random.default_rng(seed)
    over, stood = leaning(random_kit(rng), radians(lean_deg)), random_hung(rng, mode)
    oracle = Dense(over)
    here, there = (settled(oracle, stood, wanted_s) for wanted_s in (3.2, 2.2))
    readings = [
        logged(drop(2.9, 3.1), here),
        logged(drop(2.2, 2.1), there),
        logged(Lean(build="a-cam", on=AT, lean=0.02, side=0.04), there),
        logged(HangsUpright(build="a-cam", on=AT), here),
    ]
    asked = here._replace(version="asked")
    whole = over._replace(readings=tuple(readings))
    oracle = Dense(whole)
    oracle.register(lambda: oracle.settled(asked, 3.0))
    oracle.fit(readings)
    hanging = Inference(whole, [asked]).stands[0]
    tree, names = hanging.tree, ("stage-fore-aft", "stage-side", "pivot")
    found = hanging.settle([tree.adjusters.index(name) for name in names], 3.0)
    known = dict(zip(names, hanging.settings(found, 3.0), strict=True))
    truth = oracle.settled(asked, 3.0)
    for name in names:
        told = known[name]
        assert told.value == pytest.approx(float(truth[name]), abs=2e-5)
        spread = oracle.spread(lambda name=name: oracle.settled(asked, 3.0)[name])
        # The slope of a lean is believed, which makes what follows of it 1 % narrow or wide.
        assert told.standard_deviation == pytest.approx(spread, rel=0.01)


@pytest.mark.usefixtures("nobody_is_wild")
def test_a_balance_point_is_told_along_the_guides() -> None:
    over = leaning(kit(), radians(30.0))
    asked = hung(pivot=0.58)
    readings = [logged(BalancePoint(build="a-cam", on=AT, at=0.5772, sd=0.0005), asked)]
    whole = over._replace(readings=tuple(readings))
    oracle = Dense(whole)
    oracle.register(lambda: oracle.hangs(asked, oracle.positions(asked)).cg)
    oracle.fit(readings)
    truth = float(oracle.hangs(asked, oracle.positions(asked)).cg[2] + oracle.seated(asked)[2])
    hanging = Inference(whole, [asked]).stands[0]
    depth = hanging.depth().value + _hidden(hanging)
    assert float(hanging.positions_m[0]) * cos(radians(30.0)) - depth == pytest.approx(
        truth, abs=2e-6
    )


def _hidden(hanging: Hanging) -> float:
    """Height that friction hides from a drop."""
    torque = float(hanging.theta[hanging.tree.friction])
    return FRICTION_SHIFT * torque / (GRAVITY * float(hanging.hangs.mass_kg))


EVERYTHING = (
    drop(3.1, 3.0),
    drop(2.6, nose="up"),
    drop(2.7, nose="down"),
    Lean(build="a-cam", on=AT, lean=0.0, side=0.0),
    Lean(build="a-cam", on=AT, lean=0.0, side=0.0, pan=radians(40.0)),
    BalancePoint(build="a-cam", on=AT, at=0.44),
    Hold(build="a-cam", on=AT, stays=0.03, falls=0.05),
    Swing(build="a-cam", on=AT, swings=6, time=18.0, start=0.5, end=0.2),
    Spin(build="a-cam", on=AT, lens_end="dips", turns=3.0, time=6.0),
)


@pytest.mark.parametrize("mode", ["high", "low"])
@pytest.mark.parametrize(("axis", "lean_deg"), [("z", 25.0), ("z", -50.0), ("x", 0.0)])
@pytest.mark.parametrize("seed", [1, 2])
def test_every_claim_answers_to_every_parameter_as_finite_differences_say(
    seed: int, axis: str, lean_deg: float, mode: str
) -> None:
    rng = np.random.default_rng(seed)
    over = leaning(random_kit(rng), radians(lean_deg), axis)
    # In trim, so that nothing stands at a limit of its own.
    stood = _hung_near(over, random_hung(rng, mode))
    whole = over._replace(readings=tuple(logged(each, stood) for each in EVERYTHING))
    stands = _stands(whole)
    observations = Observations.of(stands, whole.readings)
    theta = stands.parameters.mean
    found = observations.evaluate(theta)
    sd = np.sqrt(stands.parameters.variance)
    for column in np.flatnonzero(np.any(found.rows.jacobian, axis=0)):
        by = np.zeros(len(theta))
        by[column] = 1e-5 * sd[column]
        ahead, behind = (observations.evaluate(theta + way * by).residual for way in (1, -1))
        slope = (ahead - behind) / (2 * by[column])
        # A hold band takes its depth as it is believed, a pan its share as it is; and that what
        # friction hides goes with the weight is left out, 0.04 mm at most.
        exact = [claim.kind not in {"friction", "spin"} for claim in observations.claims]
        assert slope[exact] == pytest.approx(found.rows.jacobian[exact, column], rel=1e-4, abs=4e-5)


def _stands(whole: Kit) -> Stands:
    from riglog.estimation.parameters import Parameters

    parameters: Parameters = Parameters(whole)
    return Stands(parameters)


def _hung_near(over: Kit, stood: Hung) -> Hung:
    """The build trimmed a few millimeters below its axis, by what is believed of it."""
    hanging = Inference(over, [stood]).stands[0]
    tree = hanging.tree
    names = ("stage-fore-aft", "stage-side", "pivot")
    free = [tree.adjusters.index(name) for name in names]
    if tree.lift != tree.pivot:
        free = [tree.pivot, free[1]]
    placed = hanging.settle(free, 3.0)
    settings = {
        name: scale.scale.reading(float(at))
        for name, scale, at in zip(tree.adjusters, tree.scales, placed.positions_m, strict=True)
    }
    return stood._replace(settings=settings)


SURE = 1e-6


def exactly_set(of: Kit) -> Kit:
    """The same kit with scales that are read without any error to speak of."""
    rig = of.rigs["post-one"]
    adjusters = tuple(replace(each, step=SURE) for each in rig.adjusters)
    return of._replace(rigs={rig.id: replace(rig, adjusters=adjusters)})


@pytest.mark.parametrize("mode", ["high", "low"])
@pytest.mark.parametrize("lean_deg", [-60.0, -20.0, 5.0, 25.0, 60.0])
def test_guides_that_lean_are_upright_ones_read_shorter_and_further_along(
    lean_deg: float, mode: str
) -> None:
    lean, height = radians(lean_deg), 0.505 if mode == "high" else 0.495
    build = replace(hung().build, mode=mode)  # type: ignore[arg-type]
    slant, straight = (exactly_set(leaning(kit(), each)) for each in (lean, 0.0))
    rig = straight.rigs["post-one"]
    at = slant.rigs["post-one"].pivot_at[0] + height * np.tan(lean)
    straight = straight._replace(rigs={rig.id: replace(rig, pivot_at=(at, 0.0))})
    told = []
    for over, mark in ((slant, height / cos(lean)), (straight, height)):
        stood = hung(build, pivot=mark)
        readings = (drop(3.0, 3.1), drop(2.8, nose="up"), Lean(build="a-cam", on=AT, lean=0.02))
        whole = over._replace(readings=tuple(logged(each, stood) for each in readings))
        hanging = Inference(whole, [stood]).stands[0]
        depth, plane = hanging.depth(), hanging.lean()
        told.append([depth.value, depth.standard_deviation, *plane.value, *plane.covariance.flat])
    assert told[0] == pytest.approx(told[1], rel=1e-5)


FRAME = Component(
    id="hoop", kind="frame", mass=2.4, size=(0.1, 0.56, 0.06), cg=(0.0, 0.0, 0.03), cg_sd=SURE
)
BODY = Component(id="eye", kind="camera", mass=5.2, size=(0.26, 0.15, 0.18), cg_sd=SURE)
BLOCK = Component(id="block", kind="battery", mass=2.4, size=(0.07, 0.11, 0.16), cg_sd=SURE)
CARRIED = Component(id="bearing", kind="other", mass=0.3, size=(0.04, 0.3, 0.05), cg_sd=SURE)
RING = Rig(
    id="ring",
    type="ring",
    mounts={
        "frame": Mount(at=(0.0, 0.0, 0.0), sd=SURE),
        "cradle": Mount(at=(0.05, 0.0, 0.1), moved_by=("cradle", "height"), sd=SURE),
        "back": Mount(at=(-0.16, 0.0, 0.11), sd=SURE),
        "sides": Mount(at=(0.0, 0.0, 0.0), moved_by=("pivot",), sd=SURE),
    },
    adjusters=(
        Adjuster(id="pivot", axis="z"), Adjuster(id="cradle", axis="x"),
        Adjuster(id="height", axis="z"),
    ),
)  # fmt: skip
ON = {"hoop": "frame", "eye": "cradle", "block": "back", "bearing": "sides"}


def ring(lean_rad: float, axis: str) -> Kit:
    pivot = replace(RING.adjusters[0], lean=lean_rad, axis=axis)
    # Where the guides lie they are as high as the camera.
    mounts = {
        name: replace(mount, at=(mount.at[0], 0.0, mount.at[2] - (0.17 if axis == "x" else 0.0)))
        for name, mount in RING.mounts.items()
        if name != "sides"
    }
    rig = replace(RING, adjusters=(pivot, *RING.adjusters[1:]), mounts={**RING.mounts, **mounts})
    parts = {each.id: each for each in (FRAME, BODY, BLOCK, CARRIED)}
    return Kit(rigs={"ring": rig}, components=parts, readings=())


@pytest.mark.parametrize("mode", ["high", "low"])
@pytest.mark.parametrize("wanted_s", [1.5, 2.0])
@pytest.mark.parametrize(
    ("axis", "lean_deg", "free"),
    [
        ("z", 25.0, ("cradle", "pivot")),
        ("z", -40.0, ("cradle", "pivot")),
        ("x", 0.0, ("pivot", "height")),
    ],
)
def test_a_ring_set_for_a_drop_time_hangs_upright_and_has_it_in_a_rigid_body_engine(
    axis: str, lean_deg: float, free: tuple[str, str], wanted_s: float, mode: str
) -> None:
    parts = tuple(Part(component=name, on=mount) for name, mount in ON.items())
    build = Build(id="hand", rig="ring", mode=mode, parts=parts)  # type: ignore[arg-type]
    settings = {"pivot": 0.02 if axis == "x" else 0.2, "cradle": 0.0, "height": 0.0}
    hanging = Inference(ring(radians(lean_deg), axis), [Hung(build, "v1", settings, DAY)]).stands[0]
    hanging.theta[hanging.tree.friction] = 0.0
    tree = hanging.tree
    found = hanging.settle([tree.adjusters.index(name) for name in free], wanted_s)
    at = dict(zip(tree.adjusters, found.positions_m, strict=True))
    lean = radians(lean_deg)
    way = np.array([1.0, 0.0, 0.0] if axis == "x" else [sin(lean), 0.0, cos(lean)])
    pivot = way * at["pivot"]
    moved = {
        "frame": np.zeros(3), "back": np.zeros(3), "sides": pivot,
        "cradle": np.array([at["cradle"], 0.0, at["height"]]),
    }  # fmt: skip
    # In low mode all of it hangs turned over about x.
    over = 1.0 if mode == "high" else -1.0
    mounts = ring(lean, axis).rigs["ring"].mounts
    solids = [
        _solid(name, (mounts[mount].at + moved[mount]) * [1, over, over], over)
        for name, mount in ON.items()
    ]
    axis_at = (float(pivot[0]), float(over * pivot[2]))
    times = [simulated_drop(solids, axis_at, release) for release in (np.pi / 2, -np.pi / 2)]
    # Upright, both ways take alike.
    assert times == pytest.approx([wanted_s, wanted_s], abs=2e-4)


def _solid(name: str, at: FloatArray, over: float) -> Solid:
    item = ring(0.0, "z").components[name]
    assert item.mass is not None
    assert item.size is not None
    center = item.cg if item.cg is not None else (0.0, 0.0, item.size[2] / 2)
    place = at + np.array(center) * [1, over, over]
    x, y, z = (float(each) for each in place)
    return Solid(-1, "box", item.size, item.mass, (x, y, z), ("x", 0.0), (0.0, 0.0, 0.0))
