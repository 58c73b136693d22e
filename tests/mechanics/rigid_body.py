"""Rigs as trees of solids for the rigid-body engine MuJoCo, and for the mechanics under test.

The engine gets each solid where it sits on its parent and composes, integrates and times by
itself; nothing of riglog is used here.
"""

from __future__ import annotations

from dataclasses import dataclass

import mujoco
import numpy as np
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]  # scipy ships no types

GRAVITY = 9.80665
# A head's servo [N m per rad, and per rad/s]: stiff against all that a rig does.
_STIFF, _DAMPED = 4e4, 400.0
_STEP_S = 0.002  # fourth order: 1e-11 of a drop of a few seconds


@dataclass(frozen=True)
class Solid:
    """A solid on its parent (the index of an earlier one, or -1 for the rig's own frame).

    ``offset`` and ``turn`` (axis, angle) place its frame in the parent's, ``center`` the middle
    of the solid in its own frame, ``size`` is overall along x, y, z.
    """

    parent: int
    shape: str
    size: tuple[float, float, float]
    mass: float
    offset: tuple[float, float, float]
    turn: tuple[str, float]
    center: tuple[float, float, float]


def random_tree(rng: np.random.Generator) -> list[Solid]:
    """Three to eight solids, each on the rig or on an earlier one."""
    return [_random_solid(rng, index) for index in range(rng.integers(3, 9))]


def _random_solid(rng: np.random.Generator, index: int) -> Solid:
    shape = str(rng.choice(["box", "cylinder-x", "cylinder-y", "cylinder-z", "point"]))
    size = rng.uniform(0.04, 0.3, 3)
    if shape.startswith("cylinder"):
        across = ["xyz".index(letter) for letter in "xyz" if letter != shape[-1]]
        size[across] = size[across[0]]
    return Solid(
        parent=int(rng.integers(-1, index)),
        shape=shape,
        size=tuple(map(float, size)),
        mass=float(rng.uniform(0.1, 5.0)),
        offset=tuple(map(float, rng.uniform(-0.25, 0.25, 3))),
        turn=(str(rng.choice(list("xyz"))), float(rng.uniform(-np.pi, np.pi))),
        center=tuple(map(float, rng.uniform(-0.1, 0.1, 3))),
    )


def simulated_drop(
    solids: list[Solid], pivot: tuple[float, float], release: float, stop: float = 0.0
) -> float:
    """Time [s] from release at a signed lean to the first pass through the one at ``stop``.

    ``pivot`` is (x, z) of the tilt axis in the rig's frame.
    """
    joint = f'<joint type="hinge" axis="0 1 0" pos="{_row((pivot[0], 0.0, pivot[1]))}"/>'
    model = mujoco.MjModel.from_xml_string(_document(solids, joint))
    data = mujoco.MjData(model)
    data.qpos[0] = release
    side = np.sign(release - stop)
    angle, speed, time = release, 0.0, 0.0
    while side * (data.qpos[0] - stop) > 0.0:
        angle, speed, time = float(data.qpos[0]), float(data.qvel[0]), data.time
        mujoco.mj_step(model, data)
        assert data.time < 60.0, "it never got there"
    return time + _STEP_S * _crossing(
        angle - stop, _STEP_S * speed, data.qpos[0] - stop, _STEP_S * data.qvel[0]
    )


def simulated_level_drop(
    frame: list[Solid],
    payload: list[Solid],
    axis: tuple[float, float],
    pivot: tuple[float, float],
    release: float,
) -> float:
    """Time [s] from release at a signed lean to upright, a servo keeping the payload level.

    The payload turns on a second hinge through ``axis`` (x, z), where its own frame begins; what
    the servo does to it, it does to the frame the other way.
    """
    tilt = f'<joint type="hinge" axis="0 1 0" pos="{_row((pivot[0], 0.0, pivot[1]))}"/>'
    head = (
        f'<body pos="{_row((axis[0], 0.0, axis[1]))}"><joint type="hinge" axis="0 1 0"/>'
        f"{_bodies(payload, -1)}</body>"
    )
    model = mujoco.MjModel.from_xml_string(_document(frame, tilt, head))
    data = mujoco.MjData(model)

    def motion(_time: float, state: np.ndarray) -> np.ndarray:
        data.qpos[:], data.qvel[:] = state[:2], state[2:]
        data.qfrc_applied[1] = -_STIFF * state[:2].sum() - _DAMPED * state[2:].sum()
        mujoco.mj_forward(model, data)
        return np.concatenate([state[2:], data.qacc])

    def upright(_time: float, state: np.ndarray) -> float:
        return float(state[0])

    upright.terminal = True  # type: ignore[attr-defined]  # as solve_ivp wants it
    start = [release, -release, 0.0, 0.0]
    done = solve_ivp(
        motion, (0.0, 60.0), start, method="LSODA", events=upright, rtol=1e-8, atol=1e-10
    )
    return float(done.t_events[0][0])


def mass_matrix(solids: list[Solid]) -> np.ndarray:
    """Inertia (6, 6) of the whole against moving and turning about the rig's origin."""
    model = mujoco.MjModel.from_xml_string(_document(solids, "<freejoint/>"))
    data = mujoco.MjData(model)
    mujoco.mj_forward(model, data)
    columns = np.zeros((6, 6))
    for unit, column in zip(np.eye(6), columns, strict=True):
        mujoco.mj_mulM(model, data, column, unit)
    return columns.T


def _crossing(y0: float, slope0: float, y1: float, slope1: float) -> float:
    """Where the cubic with these ends is zero, as a share of the step."""
    cubic = [2 * y0 + slope0 - 2 * y1 + slope1, -3 * y0 - 2 * slope0 + 3 * y1 - slope1, slope0, y0]
    roots = np.roots(cubic)
    inside = roots[(abs(roots.imag) < 1e-9) & (roots.real > -1e-9) & (roots.real < 1 + 1e-9)]
    return float(inside.real.min())


def _document(solids: list[Solid], joint: str, more: str = "") -> str:
    return f"""
    <mujoco>
      <compiler angle="radian" eulerseq="XYZ"/>
      <option gravity="0 0 {-GRAVITY}" timestep="{_STEP_S}" integrator="RK4"/>
      <default><geom contype="0" conaffinity="0"/></default>
      <worldbody><body>{joint}{_bodies(solids, -1)}{more}</body></worldbody>
    </mujoco>"""


def _bodies(solids: list[Solid], parent: int) -> str:
    return "".join(
        f'<body pos="{_row(solid.offset)}" euler="{_row(_turned(solid.turn))}">'
        f"{_solid(solid)}{_bodies(solids, index)}</body>"
        for index, solid in enumerate(solids)
        if solid.parent == parent
    )


def _turned(turn: tuple[str, float]) -> tuple[float, ...]:
    return tuple(turn[1] if letter == turn[0] else 0.0 for letter in "xyz")


def _solid(solid: Solid) -> str:
    where = f'pos="{_row(solid.center)}"'
    if solid.shape == "point":
        # The engine wants some inertia: 1e-14 kg m2 is nothing.
        return f'<inertial {where} mass="{solid.mass!r}" diaginertia="1e-14 1e-14 1e-14"/>'
    if solid.shape == "box":
        kind, size, turn = "box", [0.5 * side for side in solid.size], (0.0, 0.0, 0.0)
    else:
        along = "xyz".index(solid.shape[-1])
        kind = "cylinder"
        size = [0.5 * solid.size[along - 1], 0.5 * solid.size[along]]
        turn = ((0.0, np.pi / 2, 0.0), (np.pi / 2, 0.0, 0.0), (0.0, 0.0, 0.0))[along]
    return (
        f'<geom type="{kind}" size="{_row(size)}" {where} euler="{_row(turn)}" '
        f'mass="{solid.mass!r}"/>'
    )


def _row(numbers: tuple[float, ...] | list[float]) -> str:
    return " ".join(repr(float(number)) for number in numbers)
