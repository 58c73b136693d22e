"""From a drop time just measured to the one wanted: the move that needs no absolute mark.

Both heights lie above one center of gravity, and both go with k^2: the drop just timed tells
d / k^2 far better than k^2 itself is known. So with kappa = k^2 over its best value, a move m
leaves a height that drops as D + m / kappa would at the best k^2, where D is the measured height
there. kappa is taken as log-normal: however little is known of k, a rig that fell upright is
bottom heavy where it stands.
"""

from __future__ import annotations

from math import ceil, copysign, erf, exp, hypot
from typing import TYPE_CHECKING, NamedTuple, Protocol

from riglog.estimation.heights import FROM_HORIZONTAL, height, height_slopes
from riglog.estimation.interval import TWO_SIDED
from riglog.estimation.planting import reading_m
from riglog.jobs.answers import Move, Value
from riglog.jobs.drop_times import time_of
from riglog.jobs.free import lift_of
from riglog.jobs.placing import SURELY_SD, settable, taken_back, toward

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.records import Adjuster, Setting

# With k^2 known no better than this, other marks of the build are asked too [log].
_POORLY_KNOWN = 0.2
# A move along the scale from where it stands is good to this share of a step.
_MOVED_SHARE = 0.3
_NOTHING_M = 1e-9


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
    """A move of the pivot, or of what else sets the drop, as changes of its reading.

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
    taken_back
        The slide that goes with it, so that the rig stays in trim.
    """

    reading: Value
    now_m: float
    toward: str
    careful: bool
    depth_m: float
    drop_s: Value
    beyond_m: float
    taken_back: tuple[Move, ...]


def fine_move(hanging: Hanging, drop: Measured, wanted_s: float) -> FineMove:
    """The move to the wanted drop time, or the part of it that is surely safe.

    Told by this drop alone; where k is poorly known, by other marks of the build if they tell it
    better.
    """
    tree, index = hanging.tree, lift_of(hanging.tree)
    scale, stands = tree.scales[index], hanging.hung.settings.get(tree.adjusters[index])
    # Per unit of travel the height changes by less where parts ride along with the pivot.
    per_reading = scale.scale.sign * hanging.depth_per_m(index)
    alone = _Alone(drop, hanging.step_m(index))
    ways: list[_Way] = [alone]
    if drop.log_sd > _POORLY_KNOWN and _is_bracketed(hanging, tree.adjusters[index]):
        ways.append(_Joint(hanging, alone, index))
    way = min(ways, key=lambda each: each.rise(wanted_s).width)
    rise = way.rise(wanted_s)
    whole = _settable_move(scale, stands, rise.value / per_reading)
    careful = way.least(whole * per_reading, SURELY_SD) <= 0
    now = _safe(way, whole, per_reading, scale, stands) if careful else whole
    now, beyond = _within(scale, stands, now)
    low, high = sorted(end / per_reading for end in (rise.low, rise.high))
    return FineMove(
        reading=Value(rise.value / per_reading, low, high),
        now_m=now,
        toward=toward(tree, index, now * scale.scale.sign),
        careful=careful,
        depth_m=drop.depth_m + now * per_reading,
        drop_s=_drop_after(way, now * per_reading, drop.gyration_m2),
        beyond_m=beyond,
        taken_back=taken_back(hanging, index, now * scale.scale.sign),
    )


def expected(drop: Measured, rise_m: float, step_m: float) -> Value:
    """Drop time after the height has changed by ``rise_m``, by the drop alone."""
    return _drop_after(_Alone(drop, step_m), rise_m, drop.gyration_m2)


def _is_bracketed(hanging: Hanging, name: str) -> bool:
    """Whether drops of this version count where it stands, and at another mark of a scale too."""
    marks = {
        str(logged.hung.settings.get(name))
        for logged in hanging.inference.kit.readings
        if logged.reading.kind == "drop" and logged.hung.version == hanging.hung.version
    }
    return len(marks) > 1 and str(hanging.hung.settings.get(name)) in marks


class _Rise(NamedTuple):
    """A change of height, with its 95 % bounds [m]."""

    value: float
    low: float
    high: float

    @property
    def width(self) -> float:
        """Of the interval."""
        return self.high - self.low


class _Way(Protocol):
    """How a change of height is told."""

    def rise(self, wanted_s: float) -> _Rise:
        """To the wanted drop time."""

    def least(self, rise_m: float, score: float) -> float:
        """Height after a change, that many standard deviations below what is expected."""


class _Alone(NamedTuple):
    """By the drop just timed: what is to come goes with k^2, and no scale is read."""

    drop: Measured
    step_m: float

    def rise(self, wanted_s: float) -> _Rise:
        drop = self.drop
        rise = float(height(wanted_s, FROM_HORIZONTAL, drop.gyration_m2)) - drop.depth_m
        ends = []
        for side in (-1, 1):
            stretched = rise * (exp(side * copysign(TWO_SIDED, rise) * drop.log_sd) - 1)
            ends.append(rise + side * hypot(stretched, TWO_SIDED * drop.depth_sd_m))
        return _Rise(rise, *ends)

    def least(self, rise_m: float, score: float) -> float:
        drop = self.drop
        unlucky = -score * copysign(1.0, rise_m)
        stretched = rise_m * exp(unlucky * drop.log_sd)
        setting = _MOVED_SHARE * self.step_m if rise_m else 0.0
        apart = hypot(stretched - rise_m, score * drop.depth_sd_m, score * setting)
        return drop.depth_m + rise_m - copysign(apart, score)


class _Joint(NamedTuple):
    """By all that was logged: where the build was timed at other marks, they bracket the way."""

    hanging: Hanging
    alone: _Alone
    lift: int

    def rise(self, wanted_s: float) -> _Rise:
        move = self.hanging.move(self.lift, wanted_s)
        low, high = move.interval()
        per_travel = self.hanging.depth_per_m(self.lift)
        ends = sorted((low * per_travel, high * per_travel))
        return _Rise(move.value * per_travel, *ends)

    def least(self, rise_m: float, score: float) -> float:
        positions = self.hanging.positions_m.copy()
        positions[self.lift] += rise_m / self.hanging.depth_per_m(self.lift)
        depth = self.hanging.depth(positions).widened(_MOVED_SHARE * self.alone.step_m)
        told = depth.quantile(0.5 * (1 + erf(-score / 2**0.5)))
        # That the rig fell from where it stands holds even if its mark was misread.
        return max(told, self.alone.least(rise_m, score)) if score > 0 else told


def _drop_after(way: _Way, rise_m: float, gyration_m2: float) -> Value:
    """Drop time after the height has changed by ``rise_m``."""
    # A lower bound of the height is an upper one of the time.
    scores = (-TWO_SIDED, 0.0, TWO_SIDED)
    low, value, high = (
        time_of(min(way.least(rise_m, score), gyration_m2**0.5), gyration_m2) for score in scores
    )
    return Value(value, low, high)


def _settable_move(scale: Adjuster, stands: Setting | None, change_m: float) -> float:
    """The change of reading that leads to a step of the scale; unmarked, a whole step itself."""
    start = 0.0 if stands is None else reading_m(stands)
    return round(settable(scale, start + change_m) - start, 12)


def _safe(
    way: _Way, whole_m: float, per_reading: float, scale: Adjuster, stands: Setting | None
) -> float:
    """The longest part of a move to a step of the scale that surely leaves it bottom heavy."""
    for steps in range(ceil(abs(whole_m) / scale.step), 0, -1):
        part = _settable_move(scale, stands, copysign(steps * scale.step, whole_m))
        further = abs(part) > abs(whole_m) + _NOTHING_M
        back = part * whole_m <= 0
        if not (further or back) and way.least(part * per_reading, SURELY_SD) > 0:
            return part
    return 0.0


def _within(scale: Adjuster, stands: Setting | None, move_m: float) -> tuple[float, float]:
    """The move cut at the end of the travel, and how much is cut off."""
    if stands is None or scale.travel is None:
        return move_m, 0.0
    start = reading_m(stands)
    to = min(max(start + move_m, scale.travel[0]), scale.travel[1])
    return to - start, abs(start + move_m - to)
