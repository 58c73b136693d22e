"""How little makes a rig neutral: mass at the camera, or on top of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.estimation.tree import UNLISTED

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.settle import Settled
    from riglog.mechanics.arrays import FloatArray

# Height of a camera above a gimbal where nobody listed one [m]: common practice, no source.
USUAL_M = 0.30
# Nearer to a ring's axis than this, no sensible mass makes it neutral [m].
_LEAST_M = 0.02
# A head's axis is where its document says, to about a millimeter.
_LEAST_AXIS_M = 0.003


def margin_kg(hanging: Hanging, depth_m: float, settled: Settled | None = None) -> float | None:
    """Mass that makes it neutral, where it stands or settled.

    On a post rig it is put where the camera is, 0.30 m up if nobody listed one. In a ring the
    camera is about as high as the pivots, and it is put on top of the camera; None if that does
    not stand above them.
    """
    tree = hanging.tree
    if depth_m <= 0 or UNLISTED in tree.parts:
        return None
    hangs = hanging.hangs if settled is None else settled.hangs
    positions = hanging.positions_m if settled is None else settled.positions_m
    below = tree.below_m(positions, hangs.part_cg_m[0])
    if tree.rig.type == "ring":
        above = [*_tops(hanging, positions), *_axes(hanging, below)]
        return float(hangs.mass_kg) * depth_m / max(above) if above else None
    # In low mode the camera hangs below, and weight at the other end is what turns it over.
    away = [abs(float(below[i])) for i in _cameras(hanging)]
    return float(hangs.mass_kg) * depth_m / max(away, default=USUAL_M)


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
