"""Payloads on powered heads, as arrays and as a rigid-body engine has them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from mechanics.rigid_body import Solid, simulated_drop, simulated_level_drop

from riglog.estimation.forward import Balance, balance
from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung, Kit, Logged
from riglog.estimation.parameters import Parameters
from riglog.estimation.tree import Tree, flatten
from riglog.mechanics.friction import drop_time_with_friction
from riglog.records import Adjuster, Build, Component, Drop, Lean, Mount, Part, Rig

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.mechanics.arrays import FloatArray

DAY = "2026-03-14"
AT = f"{DAY}T09:10:00+01:00"
# A ring rig: a frame of 4 kg whose head carries a camera and its lens.
AXIS_Z = 0.06
RIG = Rig(
    id="ring-one",
    type="ring",
    mounts={
        "frame": Mount(at=(0.0, 0.0, 0.0)),
        "head": Mount(at=(0.0, 0.0, AXIS_Z), levels=True),
        "trim": Mount(at=(0.0, 0.0, -0.2), moved_by=("trim-fore-aft",)),
    },
    adjusters=(
        Adjuster(id="pivot", axis="z", step=0.0005),
        Adjuster(id="trim-fore-aft", axis="x"),
    ),
)
FRAME = Component(id="ring", kind="frame", mass=4.0, size=(0.3, 0.5, 0.45), cg=(0.0, 0.0, -0.02))
CAMERA = Component(
    id="body", kind="camera", mass=3.0, size=(0.22, 0.14, 0.15), cg=(0.0, 0.0, 0.0),
    mounts={"lens": Mount(at=(0.11, 0.0, 0.0)), "base": Mount(at=(0.0, 0.0, -0.07))},
)  # fmt: skip
LENS = Component(
    id="lens-35", kind="lens", mass=1.2, size=(0.12, 0.1, 0.1), cg=(0.06, 0.0, 0.0), cg_sd=0.003
)
LONG = Component(
    id="lens-75", kind="lens", mass=1.8, size=(0.16, 0.1, 0.1), cg=(0.08, 0.0, 0.0), cg_sd=0.003
)
WEIGHT = Component(id="trim-weight", kind="trim-weight", mass=0.5, size=(0.05, 0.05, 0.05))
COMPONENTS = {each.id: each for each in (FRAME, CAMERA, LENS, LONG, WEIGHT)}
# The camera sits as far back as its lens pulls it forward.
PARTS = (
    Part(component="ring", on="frame"),
    Part(component="body", on="head", offset=(-1.2 * 0.17 / 4.2, 0.0, 0.0)),
    Part(component="lens-35", on="body.lens"),
    Part(component="trim-weight", on="trim"),
)
B_CAM = Build(id="b-cam", rig="ring-one", parts=PARTS)
STANDS = {"pivot": 0.02, "trim-fore-aft": 0.0}
SWAPPED = replace(
    B_CAM,
    parts=tuple(
        replace(part, component="lens-75") if part.id == "lens-35" else part for part in PARTS
    ),
)


def hung(build: Build = B_CAM, *, version: str = "v1", before: Build | None = None) -> Hung:
    return Hung(build, version, STANDS, DAY, before)


def kit(*readings: Logged) -> Kit:
    return Kit(rigs={"ring-one": RIG}, components=COMPONENTS, readings=readings)


def hanging(stood: Hung, *readings: Logged) -> Hanging:
    return Inference(kit(*readings), [stood]).stands[0]


def planted(stood: Hung) -> tuple[Parameters, Tree]:
    parameters = Parameters(kit())
    return parameters, flatten(parameters, stood)


def hangs(stood: Hung) -> Balance:
    """By the documents, as they are."""
    parameters, tree = planted(stood)
    return balance(tree, parameters.mean, tree.positions(stood)[None])


def box(item: Component, at: tuple[float, float, float]) -> Solid:
    """A component as the engine has it, its center there."""
    assert item.mass is not None
    assert item.size is not None
    return Solid(-1, "box", item.size, item.mass, at, ("x", 0.0), (0.0, 0.0, 0.0))


FRAME_SOLIDS = [box(FRAME, (0.0, 0.0, -0.02)), box(WEIGHT, (0.0, 0.0, -0.175))]
PAYLOAD_X = PARTS[1].offset[0]  # type: ignore[index]  # it has one
PAYLOAD_SOLIDS = [box(CAMERA, (PAYLOAD_X, 0.0, 0.0)), box(LENS, (PAYLOAD_X + 0.17, 0.0, 0.0))]


@pytest.mark.parametrize("pivot_m", [0.015, 0.03, 0.06])
def test_a_leveled_payload_drops_as_a_servo_on_a_second_hinge_has_it(pivot_m: float) -> None:
    now = hangs(hung())
    timed = simulated_level_drop(
        FRAME_SOLIDS, PAYLOAD_SOLIDS, (0.0, AXIS_Z), (0.0, pivot_m), np.pi / 2
    )
    told = drop_time_with_friction(
        pivot_m - now.cg_m[0, 2], now.gyration_m2[0], 0.0, x_m=now.cg_m[0, 0]
    )
    assert told == pytest.approx(timed, rel=2e-4)


@pytest.mark.parametrize("nose", [1, -1])
def test_a_payload_off_its_axis_turns_the_frame_with_a_constant_torque(nose: int) -> None:
    off = 0.004
    build = replace(
        B_CAM, parts=(PARTS[0], replace(PARTS[1], offset=(PAYLOAD_X + off, 0.0, 0.0)), *PARTS[2:])
    )
    now = hangs(hung(build, before=B_CAM))
    assert now.asides is not None
    assert now.asides.whole_m[0, 0] == pytest.approx(4.2 * off / 8.7, rel=1e-9)
    payload = [replace(each, offset=(each.offset[0] + off, 0.0, 0.0)) for each in PAYLOAD_SOLIDS]
    timed = simulated_level_drop(
        FRAME_SOLIDS, payload, (0.0, AXIS_Z), (0.0, 0.03), nose * np.pi / 2
    )
    told = drop_time_with_friction(
        0.03 - now.cg_m[0, 2], now.gyration_m2[0], nose * now.asides.whole_m[0, 0],
        x_m=now.cg_m[0, 0], nose=nose,
    )  # fmt: skip
    balanced = drop_time_with_friction(0.03 - now.cg_m[0, 2], now.gyration_m2[0], 0.0)
    assert told == pytest.approx(timed, rel=2e-3)
    assert abs(timed - balanced) > 0.03 * balanced


@pytest.mark.parametrize("head", ["locked", "follow"])
def test_on_a_locked_or_following_head_it_turns_with_the_frame(head: str) -> None:
    now = hangs(hung(replace(B_CAM, head=head)))  # type: ignore[arg-type]  # both are
    moved = [
        replace(each, offset=(each.offset[0], 0.0, AXIS_Z + each.offset[2]))
        for each in PAYLOAD_SOLIDS
    ]
    timed = simulated_drop(FRAME_SOLIDS + moved, (0.0, 0.03), np.pi / 2)
    told = drop_time_with_friction(
        0.03 - now.cg_m[0, 2], now.gyration_m2[0], 0.0, x_m=now.cg_m[0, 0]
    )
    assert told == pytest.approx(timed, rel=1e-6)


@pytest.mark.parametrize("head", ["locked", "follow"])
def test_a_payload_is_balanced_whatever_its_head_does_and_wherever_it_is_listed(head: str) -> None:
    """Whoever put a head's payload in balance put its center on the axis, in each mode."""
    odd = replace(PARTS[1], offset=(0.03, 0.0, 0.02))
    build = replace(B_CAM, parts=(PARTS[0], odd, *PARTS[2:]), head=head)  # type: ignore[arg-type]
    level, held = hangs(hung(replace(build, head="level"))), hangs(hung(build))
    assert held.cg_m[0] == pytest.approx(level.cg_m[0], abs=1e-12)
    # What turns with the frame resists as the engine has it with the payload in balance.
    moved = [replace(s, offset=(s.offset[0], 0.0, AXIS_Z + s.offset[2])) for s in PAYLOAD_SOLIDS]
    timed = simulated_drop(FRAME_SOLIDS + moved, (0.0, 0.03), np.pi / 2)
    told = drop_time_with_friction(
        0.03 - held.cg_m[0, 2], held.gyration_m2[0], 0.0, x_m=held.cg_m[0, 0]
    )
    assert told == pytest.approx(timed, rel=1e-6)


def test_the_balance_error_of_a_payload_is_one_in_every_mode() -> None:
    """Held, its center is off the axis by what it was off while it was kept level."""
    parameters, level = planted(hung())
    held = flatten(parameters, hung(replace(B_CAM, head="locked")))
    key = next(each for each in parameters._columns if each[0] == "on head")  # type: ignore[index]
    theta = parameters.mean
    theta[list(parameters._columns[key])] = (0.002, 0.0)
    at = level.positions(hung())[None]
    off = [balance(tree, theta, at).across_m[0] for tree in (level, held)]
    assert off[0] == pytest.approx([0.002 * 4.2 / 8.7, 0.0], abs=1e-12)
    assert off[1] == pytest.approx(off[0], abs=1e-12)


def test_a_drop_with_the_head_locked_tells_the_height_of_the_level_rig() -> None:
    """Both differ by half a millimeter times the payload's share, and by nothing else."""
    locked = replace(B_CAM, head="locked")
    drop = Logged("e-1", "kim", Drop(build="b-cam", on=AT, times=(1.2, 1.2, 1.3)), hung(locked))
    before = hanging(hung()).depth()
    level, held = hanging(hung(), drop).depth(), hanging(hung(locked), drop).depth()
    assert level.standard_deviation < before.standard_deviation / 2
    apart = 0.0005 * 4.2 / 8.7
    assert level.value == pytest.approx(held.value, abs=2 * apart)
    assert held.standard_deviation < level.standard_deviation < held.standard_deviation + apart


def test_a_swap_that_is_balanced_anew_moves_the_center_by_its_mass_alone() -> None:
    before, after = hangs(hung()), hangs(hung(SWAPPED))
    moved = after.cg_m[0] - before.cg_m[0]
    # 0.6 kg more at the axis, of 9.3 kg, from where the center was.
    assert moved == pytest.approx([0.0, 0.0, 0.6 / 9.3 * (AXIS_Z - before.cg_m[0, 2])], abs=1e-12)
    assert after.across_m[0] == pytest.approx([0.0, 0.0], abs=1e-12)


def test_a_swap_that_is_not_balanced_anew_pulls_by_what_changed() -> None:
    now = hangs(hung(SWAPPED, before=B_CAM))
    # 4.2 kg were balanced; now the camera's 3 kg and 1.8 kg of lens hang from there.
    moment = 3.0 * PAYLOAD_X + 1.8 * (PAYLOAD_X + 0.11 + 0.08)
    assert now.across_m[0, 0] == pytest.approx(moment / 9.3, abs=1e-12)


def test_where_the_parts_of_a_payload_lie_cancels_out_of_a_swap() -> None:
    offset = replace(PARTS[1], offset=(0.03, 0.0, 0.0))
    parts = (PARTS[0], offset, *PARTS[2:])
    moved = replace(B_CAM, parts=parts)
    after = replace(SWAPPED, parts=(PARTS[0], offset, SWAPPED.parts[2], PARTS[3]))
    here, there = hangs(hung(SWAPPED, before=B_CAM)), hangs(hung(after, before=moved))
    # The axis has to be where the whole was balanced, whatever the document says of the offset.
    assert there.across_m[0, 0] == pytest.approx(here.across_m[0, 0], abs=1e-12)


def sums(tree: Tree, theta: FloatArray, where: FloatArray, weights: FloatArray) -> FloatArray:
    now = balance(tree, theta, where)
    return np.asarray(np.einsum("ki,ki->k", weights, now.across_m))


@pytest.mark.parametrize("before", [None, B_CAM])
def test_the_gradient_of_what_pulls_aside_is_that_of_finite_differences(
    before: Build | None,
) -> None:
    from riglog.estimation.forward import Weights, gradient

    rng = np.random.default_rng(7)
    parameters, tree = planted(hung(SWAPPED, before=before))
    theta = parameters.mean + np.sqrt(parameters.variance) * rng.standard_normal(len(parameters))
    positions = rng.normal(0, 0.02, (3, len(tree.adjusters)))
    across = rng.standard_normal((3, 2))
    weights = Weights.none(3)
    weights.cg[:, :2] = weights.aside[:] = across
    to_columns, to_positions = gradient(tree, balance(tree, theta, positions), weights)
    for column, index in enumerate(tree.columns):
        nudge = 1e-6 * np.eye(len(theta))[index]
        slope = sums(tree, theta + nudge, positions, across) - sums(
            tree, theta - nudge, positions, across
        )
        assert to_columns[:, column] == pytest.approx(slope / 2e-6, abs=1e-8)
    for index in range(len(tree.adjusters)):
        nudge = 1e-6 * np.eye(len(tree.adjusters))[index]
        slope = sums(tree, theta, positions + nudge, across) - sums(
            tree, theta, positions - nudge, across
        )
        assert to_positions[:, index] == pytest.approx(slope / 2e-6, abs=1e-8)


def test_a_drop_with_the_head_switched_off_says_nothing() -> None:
    limp = hung(replace(B_CAM, head="off"))
    drop = Logged("e-1", "kim", Drop(build="b-cam", on=AT, times=(1.8,)), limp)
    assert hanging(hung()).depth() == hanging(hung(), drop).depth()


def test_drops_of_both_noses_tell_how_far_a_payload_is_off_its_axis() -> None:
    stood = hung()
    now = hangs(stood)
    off = 0.0008
    depth, k2 = 0.02 - now.cg_m[0, 2], now.gyration_m2[0]
    readings = [
        Logged(f"e-{nose}", "kim", _drop(word, _timed(depth, k2, off, nose)), stood)
        for nose, word in ((1, "down"), (-1, "up"))
    ]
    upright = Logged("e-3", "kim", Lean(build="b-cam", on=AT, lean=0.0, side=0.0, sd=0.001), stood)
    found = hanging(stood, *readings, upright).hangs
    assert found.asides is not None
    assert found.asides.whole_m[0, 0] > 0.0
    # Which of the two is off, frame or payload, only the difference of the drops tells.
    assert found.across_m[0, 0] == pytest.approx(0.0, abs=1e-4)


def _timed(depth: float, k2: float, off: float, nose: int) -> float:
    """Trimmed, the frame lies off its center as far as the payload pulls it, the other way."""
    return float(drop_time_with_friction(depth, k2, nose * off, x_m=-off, nose=nose))


def _drop(nose: str, time: float) -> Drop:
    return Drop(build="b-cam", on=AT, times=(time,), nose=nose, method="sensor")  # type: ignore[arg-type]
