"""From a drop time just measured to the one wanted: the move that needs no absolute mark."""

from __future__ import annotations

from dataclasses import dataclass
from math import copysign, floor
from typing import TYPE_CHECKING

from riglog.estimation.tree import reading_m
from riglog.jobs.answers import Value
from riglog.jobs.placing import SURELY, settable, toward

if TYPE_CHECKING:
    from riglog.estimation.inference import Hanging
    from riglog.estimation.interval import Estimate
    from riglog.records import Adjuster, Setting

# A move along the scale from where it stands is good to this share of a step.
_MOVED_SHARE = 0.3


@dataclass(frozen=True, slots=True)
class FineMove:
    """A move of the pivot, as changes of its reading.

    Attributes
    ----------
    reading
        The whole way to the wanted drop time, with its bounds [m].
    now_m
        What to do now: the whole way at a step of the scale or, if ``careful``, a safe part.
    depth
        Pivot above the center of gravity after that, as a drop tells it.
    clamped, beyond_m
        Whether the travel ends before, and by how much.
    """

    reading: Value
    now_m: float
    toward: str
    careful: bool
    depth: Estimate
    clamped: bool = False
    beyond_m: float = 0.0


def fine_move(hanging: Hanging, wanted_s: float) -> FineMove:
    """The move to the wanted drop time from where the rig stands.

    It is what the wanted drop asks for less what is there, both above one center of gravity, so
    that neither the scale's zero nor the error of having set it matters.
    """
    tree = hanging.tree
    scale = tree.scales[tree.pivot]
    asked = hanging.move(wanted_s)
    change = asked.value * scale.scale.sign
    low, high = sorted(each * scale.scale.sign for each in asked.interval())
    stands = hanging.hung.settings.get("pivot")
    whole = _settable_move(scale, stands, change)
    careful = _after(hanging, whole).below(0.0) > 1 - SURELY
    now, beyond = _within(scale, stands, _safe(hanging, whole) if careful else whole)
    return FineMove(
        reading=Value(change, low, high),
        now_m=now,
        toward=toward(tree, tree.pivot, now * scale.scale.sign),
        careful=careful,
        depth=_after(hanging, now),
        clamped=beyond > 0,
        beyond_m=beyond,
    )


def _settable_move(scale: Adjuster, stands: Setting | None, change_m: float) -> float:
    """The change of reading that leads to a step of the scale; unmarked, a whole step itself."""
    start = 0.0 if stands is None else reading_m(stands)
    return settable(scale, start + change_m) - start


def _after(hanging: Hanging, move_m: float) -> Estimate:
    """Depth once the reading has changed by that much."""
    tree = hanging.tree
    scale = tree.scales[tree.pivot]
    positions = hanging.positions_m.copy()
    positions[tree.pivot] += move_m * scale.scale.sign
    return hanging.depth(positions).widened(_MOVED_SHARE * scale.step if move_m else 0.0)


def _safe(hanging: Hanging, whole_m: float) -> float:
    """The part of a move that surely leaves the rig bottom heavy, rounded to the safe side."""
    low, high = 0.0, 1.0
    for _ in range(20):
        middle = (low + high) / 2
        sure = _after(hanging, middle * whole_m).below(0.0) <= 1 - SURELY
        low, high = (middle, high) if sure else (low, middle)
    scale = hanging.tree.scales[hanging.tree.pivot]
    steps = floor(low * abs(whole_m) / scale.step + 1e-9)
    return copysign(round(steps * scale.step, 9), whole_m) if steps else 0.0


def _within(scale: Adjuster, stands: Setting | None, move_m: float) -> tuple[float, float]:
    """The move cut at the end of the travel, and how much is cut off."""
    if stands is None or scale.travel is None:
        return move_m, 0.0
    start = reading_m(stands)
    to = min(max(start + move_m, scale.travel[0]), scale.travel[1])
    return to - start, abs(start + move_m - to)
