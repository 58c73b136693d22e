"""Cant: how a ring holds the camera when its two side pivots stand at different readings.

The axis through both is level, so with the left pivot higher by e the camera's left side hangs
lower by atan(e / w), w the distance between the two. On guides that lean, e is what the readings
differ by times the cosine of the lean; on guides that lie it is nothing.
"""

from __future__ import annotations

from math import atan2, tan
from typing import TYPE_CHECKING

from riglog.estimation.interval import TWO_SIDED
from riglog.jobs.answers import Value, Warned
from riglog.jobs.lean_answers import Sides
from riglog.records import PivotPair

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.estimation.hanging import Hanging

# A lean that somebody sees, and trims [rad]: 1 degree.
SEEN_RAD = 0.017453292519943295
_NOTHING_M = 1e-9


def side_lean(hanging: Hanging) -> Value:
    """How far it hangs to a side [rad], positive with its right side low; None where unknown."""
    unknown = Value(None, None, None)
    if "pivot" not in hanging.hung.settings:
        return unknown
    if hanging.tree.rig.type == "ring":
        return _cant(hanging)
    plane = hanging.side()
    right, below = (float(each) for each in plane.value)
    return unknown if below <= 0 else Value(atan2(right, below), *plane.angle_interval())


def _cant(hanging: Hanging) -> Value:
    """The cant, with both sides set to a step of their scales; None of a ring without a width."""
    width, step = hanging.tree.rig.pivot_width, _pivot_step(hanging)
    if width is None:
        return Value(None, None, None)
    upright = float(hanging.tree.way[2])
    left_higher = upright * _left_further_m(hanging)
    within = upright * (TWO_SIDED * 2**0.5 * step)
    return Value(*(-atan2(left_higher + by, width) + 0.0 for by in (0.0, within, -within)))


def leveled(hanging: Hanging, side_rad: float) -> Sides | None:
    """How the two sides go, half each way, where it hangs by an angle with its right side low.

    None of guides that lie: their readings move no side up.
    """
    tree, width = hanging.tree, hanging.tree.rig.pivot_width
    if tree.lift != tree.pivot:
        return None
    scale, setting = tree.scales[tree.pivot], hanging.hung.settings.get("pivot")
    half = None
    if width is not None:
        half = scale.scale.sign * width * tan(side_rad) / float(tree.way[2]) / 2
    left, right = (
        (setting.left, setting.right) if isinstance(setting, PivotPair) else (setting, setting)
    )
    return Sides(
        scale,
        half,
        None if half is None else -half,
        None if half is None or left is None else left + half,
        None if half is None or right is None else right - half,
        _unlike(hanging, side_rad),
    )


def _unlike(hanging: Hanging, side_rad: float) -> float | None:
    """The cant that the two readings do not tell [rad]; None where they do, or nobody can say."""
    if "pivot" not in hanging.hung.settings:
        return None
    told = _cant(hanging)
    if told.value is None or told.low is None or told.high is None:
        return None
    beyond = side_rad - told.value
    return beyond if abs(beyond) >= SEEN_RAD + (told.high - told.low) / 2 else None


def _left_further_m(hanging: Hanging) -> float:
    """How much further up its guide the left pivot stands [m]."""
    setting = hanging.hung.settings["pivot"]
    if not isinstance(setting, PivotPair):
        return 0.0
    scale = hanging.tree.scales[hanging.tree.pivot].scale
    return scale.sign * (setting.left - setting.right)


def _pivot_step(hanging: Hanging) -> float:
    return hanging.tree.scales[hanging.tree.pivot].step


def canted(hanging: Hanging) -> Iterator[Warned]:
    """A ring whose two sides stand more than a step apart."""
    if "pivot" not in hanging.hung.settings:
        return
    if abs(_left_further_m(hanging)) > _pivot_step(hanging) + _NOTHING_M:
        upright = hanging.tree.lift == hanging.tree.pivot
        yield Warned("cant", "pivot", _cant(hanging).value) if upright else Warned("askew", "pivot")
