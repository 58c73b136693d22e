"""How a build hangs at rest and in a pan."""

from __future__ import annotations

from math import atan2
from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.pan import is_long
from riglog.estimation.tree import UNLISTED
from riglog.jobs.answers import Value
from riglog.jobs.cant import side_lean
from riglog.jobs.trim_answers import Inertia, Level, Panned
from riglog.mechanics.balance import critical_pan_rate, pan_lean

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging, Indices
    from riglog.mechanics.arrays import FloatArray
    from riglog.mechanics.mass_properties import Composite

# Nearer to the critical pan rate than this share of it, a small error is a large lean.
NEAR_CRITICAL = 0.25


def level(hanging: Hanging, positions_m: FloatArray, exact: Indices = ()) -> Level:
    """How it hangs with its adjusters at these positions; ``exact`` ones were set anew.

    A ring hangs to the side as its pivots stand, and level once both are set to one reading. No
    pan is ever kept up with one in hand, and so it has no critical rate.
    """
    told, rows = hanging.tilt_rows(positions_m, exact)
    fore_aft, across = hanging.inference.estimates(told.value, rows)
    cg, body = world(hanging, told.whole, positions_m)
    aside = hanging.at(positions_m).across_m[0] - told.whole.cg_m[:2]
    off = aside + seated_m(hanging, positions_m, exact)
    cg[:2] += np.array([1.0, hanging.tree.up]) * off
    depth = -float(cg[2])
    hangs = depth > 0 and "pivot" in hanging.hung.settings
    up = hanging.tree.up
    unknown = Value(None, None, None)
    known = is_known(hanging) and is_long(told.whole)
    side = -atan2(float(cg[1]), depth) if hangs else None
    if hanging.tree.rig.type == "ring":
        side = 0.0 if hanging.tree.pivot in exact else side_lean(hanging).value
    return Level(
        atan2(float(cg[0]), depth) if hangs else None,
        side,
        _signed(fore_aft.value, fore_aft.interval(), up) if known else unknown,
        _signed(across.value, across.interval(), -1.0) if known else unknown,
        critical(body, depth) if hangs and hanging.tree.rig.type == "post" else None,
    )


def seated_m(hanging: Hanging, positions_m: FloatArray, exact: Indices = ()) -> FloatArray:
    """How far the center of gravity is off along x and y, (2,), beyond what any parameter tells.

    That is how the parts seated themselves when they were put together.
    """
    rows = hanging.across_rows(positions_m, exact)
    found = hanging.inference.estimates(np.zeros(2), rows)
    return np.array([each.value for each in found])


def _signed(value: float, bounds: tuple[float, float], sign: float) -> Value:
    low, high = sorted(sign * each for each in bounds)
    return Value(sign * value, low, high)


def world(
    hanging: Hanging, whole: Composite, positions_m: FloatArray
) -> tuple[FloatArray, Composite]:
    """Center of gravity from the pivot, and the body, as the world has them: low mode is turned."""
    tree = hanging.tree
    turned = np.array([1.0, tree.up, tree.up])
    axis = tree.axis_m(hanging.theta, positions_m)
    tensor = whole.inertia_kg_m2 * turned[:, None] * turned
    return turned * (whole.cg_m - axis), whole._replace(inertia_kg_m2=tensor)


def critical(body: Composite, depth_m: float) -> float | None:
    """The pan rate [rad/s] above which inertia decides; None of what is no longer than wide."""
    tensor = body.inertia_kg_m2
    if not (depth_m > 0 and tensor[0, 0] > tensor[2, 2]):
        return None
    return float(critical_pan_rate(body.mass_kg, depth_m, tensor[0, 0], tensor[2, 2]))


def panned(hanging: Hanging, positions_m: FloatArray, rate_rad_s: float) -> Panned:
    """How it hangs in a steady pan at a rate."""
    from riglog.estimation.products import whole

    cg, body = world(hanging, whole(hanging.tree, hanging.theta, positions_m), positions_m)
    edge = critical(body, -float(cg[2]))
    if edge is None or abs(rate_rad_s / edge - 1.0) < NEAR_CRITICAL:
        return Panned(rate_rad_s, None, None, near=edge is not None)
    lean, side = pan_lean(rate_rad_s, body.mass_kg, cg, body.inertia_kg_m2)
    return Panned(rate_rad_s, float(lean), float(side), near=False)


def inertia(whole: Composite) -> Inertia:
    """Of what swings, about its center of gravity."""
    roll, tilt, pan = np.diag(whole.inertia_kg_m2)
    return Inertia(float(roll), float(tilt), float(pan))


def is_known(hanging: Hanging) -> bool:
    """Whether all that swings is listed, so that its products of inertia mean something."""
    return UNLISTED not in hanging.tree.parts
