"""From a drop time just measured to the one wanted: the move that needs no absolute mark.

Both heights lie above one center of gravity, and both go with k^2: the drop just timed tells
d / k^2 far better than k^2 itself is known. So with kappa = k^2 over its best value, a move m
leaves a height that drops as D + m / kappa would at the best k^2, where D is the measured height
there. kappa is taken as log-normal: however little is known of k, a rig that fell upright is
bottom heavy where it stands.
"""

from __future__ import annotations

from math import ceil, copysign, exp, hypot
from typing import TYPE_CHECKING, NamedTuple

from riglog.estimation.heights import height, height_slopes
from riglog.estimation.inference import FROM_HORIZONTAL
from riglog.estimation.tree import reading_m
from riglog.jobs.answers import Value
from riglog.jobs.placing import settable, time_of, toward

if TYPE_CHECKING:
    from riglog.estimation.inference import Hanging
    from riglog.records import Adjuster, Setting

_TWO_SIDED = 1.959963984540054
# One in 400 is beyond this, on one side.
_SURELY = 2.8070337683438109
# A move along the scale from where it stands is good to this share of a step.
_MOVED_SHARE = 0.3


class Measured(NamedTuple):
    """A drop in the terms of the move.

    Attributes
    ----------
    depth_m, depth_sd_m
        Height that the drop tells at the best k^2, and what the timing leaves open of it.
    gyration_m2, log_sd
        The best k^2, and the standard deviation of its logarithm.
    """

    depth_m: float
    depth_sd_m: float
    gyration_m2: float
    log_sd: float


def measured(hanging: Hanging, time_s: float, sd_s: float, factor: float) -> Measured:
    """What a drop time and its standard deviation [s] tell where a rig stands."""
    log_gyration = hanging.log_gyration()
    k2 = exp(log_gyration.value)
    per_s = float(height_slopes(time_s, factor, k2)[0])
    depth = float(height(time_s, factor, k2))
    return Measured(depth, abs(per_s) * sd_s, k2, log_gyration.standard_deviation)


class FineMove(NamedTuple):
    """A move of the pivot, as changes of its reading.

    Attributes
    ----------
    reading
        The whole way to the wanted drop time, with its bounds [m].
    now_m
        What to do now: the whole way at a step of the scale or, if ``careful``, a safe part.
    toward
        The way of the hand.
    depth_m
        Height above the center of gravity after that.
    drop_s
        Drop time expected after that.
    beyond_m
        By how much the travel cuts the move short.
    """

    reading: Value
    now_m: float
    toward: str
    careful: bool
    depth_m: float
    drop_s: Value
    beyond_m: float


def fine_move(hanging: Hanging, drop: Measured, wanted_s: float) -> FineMove:
    """The move to the wanted drop time, or the part of it that is surely safe."""
    tree = hanging.tree
    scale, stands = tree.scales[tree.pivot], hanging.hung.settings.get("pivot")
    # Per unit of travel the height changes by less where parts ride along with the pivot.
    per_reading = scale.scale.sign * tree.up * hanging.height_per_travel()
    ask = float(height(wanted_s, FROM_HORIZONTAL, drop.gyration_m2))
    rise = ask - drop.depth_m
    whole = _settable_move(scale, stands, rise / per_reading)
    careful = _least(drop, whole * per_reading, _SURELY, scale.step) <= 0
    now = _safe(drop, whole, per_reading, scale.step) if careful else whole
    now, beyond = _within(scale, stands, now)
    return FineMove(
        reading=_bounds(drop, rise, per_reading),
        now_m=now,
        toward=toward(tree, tree.pivot, now * scale.scale.sign),
        careful=careful,
        depth_m=drop.depth_m + now * per_reading,
        drop_s=expected(drop, now * per_reading, scale.step),
        beyond_m=beyond,
    )


def expected(drop: Measured, rise_m: float, step_m: float) -> Value:
    """Drop time after the height has changed by ``rise_m``."""
    k2 = drop.gyration_m2
    # A lower bound of the height is an upper one of the time.
    ends = [_least(drop, rise_m, score, step_m) for score in (-_TWO_SIDED, _TWO_SIDED)]
    low, high = (time_of(min(end, k2**0.5), k2) for end in ends)
    return Value(time_of(drop.depth_m + rise_m, k2), low, high)


def _least(drop: Measured, rise_m: float, score: float, step_m: float) -> float:
    """Height after a move, at the best k^2, that far on the unlucky side of the best guess."""
    unlucky = -copysign(score, rise_m) if rise_m else 0.0
    stretched = rise_m * exp(unlucky * drop.log_sd)
    setting = _MOVED_SHARE * step_m if rise_m else 0.0
    apart = hypot(stretched - rise_m, score * drop.depth_sd_m, score * setting)
    return drop.depth_m + rise_m - copysign(apart, score)


def _bounds(drop: Measured, rise_m: float, per_reading: float) -> Value:
    """The whole change of reading with its bounds: it goes with k^2."""
    ends = []
    for side in (-1, 1):
        stretched = rise_m * (exp(copysign(side, rise_m) * _TWO_SIDED * drop.log_sd) - 1)
        ends.append(rise_m + side * hypot(stretched, _TWO_SIDED * drop.depth_sd_m))
    low, high = sorted(end / per_reading for end in ends)
    return Value(rise_m / per_reading, low, high)


def _settable_move(scale: Adjuster, stands: Setting | None, change_m: float) -> float:
    """The change of reading that leads to a step of the scale; unmarked, a whole step itself."""
    start = 0.0 if stands is None else reading_m(stands)
    return round(settable(scale, start + change_m) - start, 9)


def _safe(drop: Measured, whole_m: float, per_reading: float, step_m: float) -> float:
    """The longest part of a move, in steps, that surely leaves the rig bottom heavy."""
    for steps in range(ceil(abs(whole_m) / step_m), 0, -1):
        part = copysign(min(steps * step_m, abs(whole_m)), whole_m)
        if _least(drop, part * per_reading, _SURELY, step_m) > 0:
            return round(part, 9)
    return 0.0


def _within(scale: Adjuster, stands: Setting | None, move_m: float) -> tuple[float, float]:
    """The move cut at the end of the travel, and how much is cut off."""
    if stands is None or scale.travel is None:
        return move_m, 0.0
    start = reading_m(stands)
    to = min(max(start + move_m, scale.travel[0]), scale.travel[1])
    return to - start, abs(start + move_m - to)
