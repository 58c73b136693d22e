"""How little makes a rig neutral: mass at the camera, or on top of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.estimation.tree import UNLISTED

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.estimation.hanging import Hanging
    from riglog.mechanics.arrays import FloatArray

# Height of a camera above a gimbal where nobody listed one [m]: common practice, no source.
USUAL_M = 0.30
# Nearer to a ring's axis than this, no sensible mass makes it neutral [m].
_LEAST_M = 0.02
# A head's axis is where its document says, to about a millimeter.
_LEAST_AXIS_M = 0.003


def margin_kg(hanging: Hanging, depth_m: float, positions_m: FloatArray) -> float | None:
    """Mass that makes it neutral, with its adjusters at ``positions_m`` (a,), pivot and all.

    On a post rig it is put where the camera is, 0.30 m up if nobody listed one; in low mode the
    camera hangs below, and it is taken away there. In a ring the camera is about as high as the
    pivots, and it is put on top of the camera; None if that does not stand above them.
    """
    tree = hanging.tree
    if depth_m <= 0 or UNLISTED in tree.parts:
        return None
    mass, below = float(hanging.hangs.mass_kg), _below(hanging, positions_m)
    if tree.rig.type == "ring":
        above = [*_tops(hanging, positions_m), *_axes(hanging, below)]
        return mass * depth_m / max(above) if above else None
    away = [abs(float(below[i])) for i in _cameras(hanging)]
    return mass * depth_m / max(away, default=USUAL_M)


def at_depth(hanging: Hanging, depth_m: float) -> FloatArray:
    """Positions of its adjusters (a,) with the pivot so far above the center of gravity."""
    positions, lift = hanging.positions_m.copy(), hanging.tree.lift
    if lift is not None:
        rise = depth_m - hanging.depth_m(positions, hanging.hangs)
        positions[lift] += rise / hanging.depth_per_m(lift)
    return positions


def _below(hanging: Hanging, positions_m: FloatArray) -> FloatArray:
    """How far each part's center is below the pivot with the adjusters there, (n,) [m]."""
    moved = (positions_m - hanging.positions_m) @ hanging.tree.slides
    return hanging.tree.below_m(positions_m, hanging.hangs.part_cg_m[0] + moved)


def _cameras(hanging: Hanging) -> Iterator[int]:
    return (i for i, kind in enumerate(hanging.tree.kinds) if kind == "camera")


def _tops(hanging: Hanging, positions_m: FloatArray) -> Iterator[float]:
    """Top above the pivots of each camera that turns with the frame, as the world has it [m]."""
    tree = hanging.tree
    turning = (index for index in _cameras(hanging) if not _is_level(hanging, index))
    for index in turning:
        slid = float(positions_m @ tree.slides[index, :, 2])
        top = max(tree.up * (float(end) + slid) for end in tree.spans[index])
        above = top - tree.up * float(tree.pan_axis_m(positions_m)[2])
        if above > _LEAST_M:
            yield above


def _axes(hanging: Hanging, below_m: FloatArray) -> Iterator[float]:
    """Axis above the pivots [m] of each head that keeps its camera level.

    All that it carries counts there, and so does what goes on top of the camera.
    """
    level = (float(-below_m[i]) for i in _cameras(hanging) if _is_level(hanging, i))
    return (above for above in level if above > _LEAST_AXIS_M)


def _is_level(hanging: Hanging, index: int) -> bool:
    return hanging.tree.aside is not None and hanging.tree.parts[index] in hanging.tree.payload
