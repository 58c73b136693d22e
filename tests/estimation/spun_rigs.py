"""Post rigs made at random, as nouns for the program and as solids for the engine MuJoCo.

Where each solid is follows from the same figures by hand, through nothing of riglog.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import mujoco
import numpy as np
from numpy.typing import NDArray

from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung, Kit
from riglog.records import Adjuster, Build, Component, Mount, Part, Rig

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging

Array = NDArray[np.float64]
GRAVITY = 9.80665
STEP_S = 0.002
# Adjusters beside the pivot: axis, and how far it travels either way [m].
TRAVELS = {
    "stage-fore-aft": ("x", 0.08), "stage-side": ("y", 0.03), "battery-fore-aft": ("x", 0.12),
    "battery-side": ("y", 0.05), "screen-fore-aft": ("x", 0.08), "screen-height": ("z", 0.06),
}  # fmt: skip


class Solid(NamedTuple):
    """A box with its middle at ``at``, carried along by some adjusters."""

    name: str
    kind: str
    mass: float
    size: Array
    at: Array
    moved_by: tuple[str, ...]


def random_rig(seed: int) -> list[Solid]:
    """A post with a camera and its lens on a stage, battery and monitor at the other end."""
    rng = np.random.default_rng(seed)

    def off(most: float) -> Array:
        return rng.uniform(-most, most, 3)

    stage, base = ("stage-fore-aft", "stage-side"), ("battery-fore-aft", "battery-side")
    screen = ("screen-fore-aft", "screen-height")
    lens = rng.uniform(0.1, 0.2)
    return [
        Solid("tube", "post", rng.uniform(2, 3), np.array([0.05, 0.05, 0.76]),
              np.array([0.0, 0.0, 0.38]) + off(0.002), ()),
        Solid("body", "camera", rng.uniform(2.5, 5), np.array([0.28, 0.15, 0.17]),
              np.array([-0.03, 0.0, 0.85]) + off(0.02), stage),
        Solid("lens", "lens", rng.uniform(0.8, 2.5), np.array([lens, 0.1, 0.1]),
              np.array([0.11 + lens / 2, 0.0, 0.83]) + off(0.01), stage),
        Solid("link", "transmitter", rng.uniform(0.2, 0.5), np.array([0.04, 0.07, 0.12]),
              np.array([-0.1, 0.06, 0.97]) + off(0.02), stage),
        Solid("battery", "battery", rng.uniform(1.5, 3), np.array([0.1, 0.11, 0.17]),
              np.array([-0.16, 0.0, 0.1]) + off(0.02), base),
        Solid("screen", "monitor", rng.uniform(0.8, 1.6), np.array([0.05, 0.2, 0.15]),
              np.array([0.2, 0.0, 0.1]) + off(0.02), screen),
    ]  # fmt: skip


def hanging(solids: list[Solid], pivot_m: float) -> Hanging:
    """The rig as the program has it by its documents alone, every adjuster at zero."""
    mounts = {each.name: Mount(at=(0.0, 0.0, 0.0), moved_by=each.moved_by) for each in solids}
    adjusters = [Adjuster(id="pivot", axis="z")]
    for name, (axis, most) in TRAVELS.items():
        adjusters.append(Adjuster(id=name, axis=axis, travel=(-most, most)))  # type: ignore[arg-type]
    rig = Rig(id="rig", type="post", mounts=mounts, adjusters=tuple(adjusters))
    components = {
        each.name: Component(
            id=each.name, kind=each.kind, mass=each.mass, size=tuple(each.size), cg=tuple(each.at)
        )
        for each in solids
    }
    parts = tuple(Part(component=each.name, on=each.name) for each in solids)
    settings = {"pivot": pivot_m, **dict.fromkeys(TRAVELS, 0.0)}
    hung = Hung(Build(id="rig", rig="rig", parts=parts), "v", settings, "2026-03-14")
    return Inference(Kit({"rig": rig}, components), [hung]).stands[0]


def placed(solids: list[Solid], moves: dict[str, float]) -> list[Array]:
    """Where each solid's middle is with the adjusters moved so far [m]."""
    axes = {"x": 0, "y": 1, "z": 2}
    found = []
    for each in solids:
        at = each.at.copy()
        for name in each.moved_by:
            at[axes[TRAVELS[name][0]]] += moves.get(name, 0.0)
        found.append(at)
    return found


def center(solids: list[Solid], moves: dict[str, float]) -> Array:
    """Center of gravity [m]."""
    masses = np.array([each.mass for each in solids])
    return np.asarray(masses @ np.array(placed(solids, moves)) / masses.sum())


def spun(
    solids: list[Solid],
    moves: dict[str, float],
    pivot_m: float,
    rate: float,
    time_s: float,
    begun: tuple[float, float] = (0.0, 0.0),
) -> Array:
    """Lean and side (t, 2) [rad] of the free rig on a ball joint, panned from a lean and side."""
    geoms = "".join(
        f'<geom type="box" mass="{each.mass!r}" pos="{_row(at - [0, 0, pivot_m])}"'
        f' size="{_row(each.size / 2)}"/>'
        for each, at in zip(solids, placed(solids, moves), strict=True)
    )
    model = mujoco.MjModel.from_xml_string(f"""
    <mujoco>
      <option gravity="0 0 {-GRAVITY}" timestep="{STEP_S}" integrator="RK4"/>
      <default><geom contype="0" conaffinity="0"/></default>
      <worldbody><body><joint type="ball"/>{geoms}</body></worldbody>
    </mujoco>""")
    data = mujoco.MjData(model)
    lean, side = np.zeros(4), np.zeros(4)
    mujoco.mju_axisAngle2Quat(lean, np.array([0.0, 1.0, 0.0]), begun[0])
    mujoco.mju_axisAngle2Quat(side, np.array([1.0, 0.0, 0.0]), begun[1])
    mujoco.mju_mulQuat(data.qpos, lean, side)
    back = data.qpos * np.array([1.0, -1.0, -1.0, -1.0])
    # The engine has the speed of a ball in its own axes.
    mujoco.mju_rotVecQuat(data.qvel, np.array([0.0, 0.0, rate]), back)
    found = np.zeros((int(time_s / STEP_S), 2))
    vertical = np.zeros(3)
    for row in found:
        mujoco.mj_step(model, data)
        back = data.qpos * np.array([1.0, -1.0, -1.0, -1.0])
        mujoco.mju_rotVecQuat(vertical, np.array([0.0, 0.0, 1.0]), back)
        row[:] = np.arctan2(-vertical[0], vertical[2]), np.arctan2(vertical[1], vertical[2])
    return found


def _row(numbers: Array) -> str:
    return " ".join(repr(float(each)) for each in numbers)
