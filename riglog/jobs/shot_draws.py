"""How sure it is what a drop time means: builds drawn as they are believed, each felt by itself.

Whoever times a drop knows it, and so the height over k^2; what a hand holds is as uncertain as mass
times k^2, and whatever friction does as friction. Some of that bends far and some falls nowhere,
which a gradient does not tell.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.forward import Weights
from riglog.estimation.interval import COVERAGE
from riglog.estimation.rows import Rows, pull_back
from riglog.jobs.answers import Value
from riglog.jobs.free import lift_of

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.mechanics.arrays import FloatArray

# Bounds of so many even draws are within 2 % of the true ones.
_DRAWS = 512
# Multiples of the powers of 1/x, x^6 = x + 1, fill a cube of five sides evenly
# (M. Roberts, The unreasonable effectiveness of quasirandom sequences, 2018).
_ROOT = 1.1347241384015194


class Draws(NamedTuple):
    """Builds as they may be, (n, 1) each.

    ``mass`` and ``gyration`` are factors of mass and k^2 by the best fit, ``friction_n_m`` is the
    torque at the pivot, ``camera_m`` how much further the camera is from the center of gravity.
    """

    mass: FloatArray
    gyration: FloatArray
    friction_n_m: FloatArray
    camera_m: FloatArray


def drawn(hanging: Hanging) -> Draws:
    """Builds drawn from all that is known of one."""
    camera, sign = _camera(hanging)
    believed = hanging.inference.plane(
        np.array([0.0, 0.0, hanging.theta[hanging.tree.friction], 0.0]), _rows(hanging, camera)
    )
    normal, which = _even()
    last = len(believed.weight) - 1
    part = np.minimum(np.searchsorted(np.cumsum(believed.weight), which), last)
    values, ways = np.linalg.eigh(believed.covariance)
    roots = ways * np.sqrt(np.maximum(values, 0.0))[:, None, :]
    found = believed.mean[part] + np.einsum("nij,nj->ni", roots[part], normal)
    factors = np.exp(found[:, :2])
    friction, away = np.maximum(found[:, 2:3], 0.0), sign * found[:, 3:]
    return Draws(factors[:, :1], factors[:, 1:], friction, away)


def bounds(value: float | None, draws: FloatArray) -> Value:
    """A figure with what 95 % of its draws lie between; infinite ones are none."""
    rest = (1 - COVERAGE) / 2
    ends = np.quantile(np.where(np.isnan(draws), np.inf, draws), [rest, 1 - rest], method="nearest")
    low, high = (float(end) if np.isfinite(end) else None for end in ends)
    return Value(value, low, high)


def _rows(hanging: Hanging, camera: int | None) -> Rows:
    """Logarithms of mass and of k^2, friction, and the camera off the center of gravity."""
    hangs, tree, parameters = hanging.hangs, hanging.tree, hanging.inference.parameters
    weights = Weights.none(4)
    weights.weight[0], weights.gyration[1] = 1 / hangs.mass_kg, 1 / hangs.gyration_m2[0]
    weights.cg[3, 2] = -1.0
    settings = hanging.stand.settings.copy()
    # What sets the drop time stands wherever that is.
    settings[lift_of(tree)] = settings[tree.pivot] = len(parameters)
    # What does not tilt has no part in how it falls.
    tilting = hangs._replace(all_mass_kg=hangs.part_mass_kg)
    jacobian = pull_back(
        parameters, tree, tilting, weights, np.tile(settings, (4, 1)),
        np.array([0.0, 0.0, 1.0, 0.0]),
    )  # fmt: skip
    if camera is not None:
        jacobian[3, tree.columns] += tree.shifts[camera, 2]
        known = settings < len(parameters)
        np.add.at(jacobian[3], settings[known], tree.slides[camera, known, 2])
    return Rows(jacobian, weights.cg, (hanging.stand.seats,) * 4)


def _camera(hanging: Hanging) -> tuple[int | None, float]:
    """The camera furthest from the center of gravity, and on which side of it the margin goes."""
    hangs, tree = hanging.hangs, hanging.tree
    off = hangs.part_cg_m[0, :, 2] - hangs.cg_m[0, 2]
    cameras = [i for i, kind in enumerate(tree.kinds) if kind == "camera"]
    camera = max(cameras, key=lambda i: float(abs(off[i])), default=None)
    if camera is None or tree.rig.type == "ring":
        return camera, tree.up
    return camera, float(np.sign(off[camera]))


def _even() -> tuple[FloatArray, FloatArray]:
    """Normal points (n, 4) that fill their space evenly, and even shares (n,) beside them."""
    even = np.mod(0.5 + np.outer(np.arange(1, _DRAWS + 1), _ROOT ** -np.arange(1.0, 6.0)), 1.0)
    radius, angle = np.sqrt(-2 * np.log(even[:, :2])), 2 * np.pi * even[:, 2:4]
    return np.concatenate([radius * np.cos(angle), radius * np.sin(angle)], axis=1), even[:, 4]
