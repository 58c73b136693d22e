"""Where one step of the pivot is too coarse: a part that moves the balance finer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.answers import Vernier
from riglog.jobs.drop_times import time_of

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.settle import Settled

# A step of the pivot that changes the drop by more than this calls for something finer [s].
TOO_COARSE_S = 0.2
# Parts that are slid up or down on their own clamps, the handiest first.
_HANDY = ("monitor", "trim-weight", "battery", "transmitter", "receiver")
# As much of a step as the part is asked to do.
_SHARE = 0.5


def vernier(hanging: Hanging, settled: Settled, depth_m: float) -> Vernier | None:
    """A handy part to lower by some millimeters, as much as half a step of the pivot."""
    tree, hangs = hanging.tree, settled.hangs
    if tree.lift is None:
        return None
    step_m, rise_m = (
        _SHARE * each for each in (tree.scales[tree.lift].step, hanging.step_m(tree.lift))
    )
    k2 = float(hangs.gyration_m2[0])
    here, there = time_of(depth_m, k2), time_of(depth_m + rise_m, k2)
    if here is None or there is None or here - there < _SHARE * TOO_COARSE_S:
        return None
    for kind in _HANDY:
        if kind in tree.kinds:
            index = tree.kinds.index(kind)
            mass = float(hangs.part_mass_kg[index])
            if mass > 0:
                part_m = rise_m * float(hangs.mass_kg) / mass
                return Vernier(tree.parts[index], mass, part_m, step_m, "down", there - here)
    return None
