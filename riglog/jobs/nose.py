"""Drops nose up and nose down: how far off trim it hangs, and the height with that taken out.

A center of gravity that is forward of the pivot makes the drop with its nose down the longer one
and the other the shorter one: half the difference tells how far forward, and the mean is nearly
free of it.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp, hypot, tan
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.claims import drop_factor
from riglog.estimation.heights import height
from riglog.estimation.interval import TWO_SIDED, estimate
from riglog.estimation.noise import mean_sd, method_sd
from riglog.jobs.fine_move import Measured
from riglog.jobs.free import free_adjusters
from riglog.jobs.nose_answers import Bounds, Off, Slid
from riglog.jobs.nose_pair import Falls, Pair, pair
from riglog.jobs.placing import toward

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.interval import Estimate
    from riglog.records import Drop, Reading

# Surely hanging further off than this, it is trimmed before its pivot is moved [rad]: 10 degrees.
TRIM_FIRST_RAD = 0.17453292519943295
# Beyond this share of the height a fore-aft error is not told by a drop alone.
_MOST_OFF = 0.5
_NOSES = {"down": 1, "up": -1}


class _Told(NamedTuple):
    """A height by drops of one nose, its change with the offset, and what timing leaves open."""

    height_m: float
    per_offset: float
    sd_m: float


def height_by_nose(hanging: Hanging, drop: Drop, author: str) -> Measured | None:
    """What all drops with their nose told tell of the height where this one was made.

    None where it does not say its nose, or where a head's payload makes a difference of its own.
    """
    if drop.nose is None or hanging.hangs.asides is not None:
        return None
    log_gyration = hanging.log_gyration()
    k2 = exp(log_gyration.value)
    offset = _offset(hanging)
    by_nose = [
        [each for each in _alike(hanging, drop) if each.nose == nose] for nose in ("up", "down")
    ]
    told = [_told(hanging, drops, offset.value, k2, author) for drops in by_nose if drops]
    if not told or None in told:
        return None
    known = [each for each in told if each is not None]
    count = len(known)
    depth = sum(each.height_m for each in known) / count
    timing = hypot(*(each.sd_m for each in known)) / count
    # Whoever drops it has trimmed it by eye before.
    offset_sd = min(offset.standard_deviation, tan(TRIM_FIRST_RAD) * depth)
    left = sum(each.per_offset for each in known) / count * offset_sd
    return Measured(depth, hypot(left, timing), k2, log_gyration.standard_deviation)


def _told(
    hanging: Hanging, drops: Sequence[Drop], offset_m: float, k2: float, author: str
) -> _Told | None:
    """The height by drops of one nose; None where that far off no height has their time."""
    from riglog.mechanics.pivot import height_gradient  # seldom needed, and slow to read

    drop, time = drops[0], _mean_s(drops) or 0.0
    near = float(height(time, drop_factor(drop), k2))
    x_m = min(max(offset_m, -_MOST_OFF * near), _MOST_OFF * near)
    try:
        slopes = height_gradient(
            time, k2, x_m=x_m, nose=_NOSES[drop.nose or "down"], release_rad=drop.release,
            stop_rad=drop.stop,
        )  # fmt: skip
    except ValueError:
        return None
    sd_s = _timed_sd(hanging, drops, author)
    return _Told(float(slopes.d_m), float(slopes.per_x), abs(float(slopes.per_drop)) * sd_s)


def off_trim(hanging: Hanging, drop: Drop, depth_m: float, author: str) -> Off | None:
    """How far off trim it hangs; None where no drop says its nose."""
    if drop.nose is None or drop.timed_to == "far-side":
        return None
    alike = {nose: [d for d in _alike(hanging, drop) if d.nose == nose] for nose in _NOSES}
    up, down = (_mean_s(alike[nose]) for nose in ("up", "down"))
    offset, both = _offset(hanging), _pair(hanging, alike, author)
    lean = _normal_lean(offset, depth_m)
    if both is not None and _is_told_better(both, offset):
        offset, lean = both.forward, both.lean
    low, high = offset.interval()
    return Off(
        up_s=up,
        down_s=down,
        forward_m=Bounds(offset.value, low, high),
        slide=slide(hanging, offset),
        first=_comes_first(lean),
        lean_read=any(reading.kind == "lean" for reading in _there(hanging)),
        apart=both is not None and both.apart,
        told=low > -depth_m or high < depth_m,
    )


def _comes_first(lean: Estimate) -> bool:
    """Whether it surely hangs off trim, and likely so far that trimming comes first."""
    low, high = lean.interval()
    return (low > 0 or high < 0) and abs(lean.value) > TRIM_FIRST_RAD


def _normal_lean(offset: Estimate, depth_m: float) -> Estimate:
    """Of an offset at that depth, as sure of its sign as the offset is."""
    return estimate(offset.weight, np.arctan2(offset.mean, depth_m), np.arctan2(offset.sd, depth_m))


def _pair(hanging: Hanging, alike: Mapping[str, Sequence[Drop]], author: str) -> Pair | None:
    """What the two noses tell by themselves; None unless both were dropped."""
    if not all(alike.values()) or hanging.hangs.asides is not None:
        return None
    (up_s, up_sd), (down_s, down_sd) = (
        (_mean_s(alike[nose]) or 0.0, _timed_sd(hanging, alike[nose], author))
        for nose in ("up", "down")
    )
    drop, log_k2 = alike["up"][0], hanging.log_gyration()
    falls = Falls(up_s, up_sd, down_s, down_sd, drop.release, drop.stop)
    return pair(falls, exp(log_k2.value), log_k2.standard_deviation)


def _is_told_better(both: Pair, offset: Estimate) -> bool:
    """Whether the two noses count alone: else all that was logged, which they are part of.

    Who drops it both ways asks how it hangs now. What was logged before and says otherwise is of a
    rig that somebody has moved since.
    """
    sd = both.forward.standard_deviation
    contradicts = abs(both.forward.value - offset.value) > TWO_SIDED * sd
    return contradicts or sd < offset.standard_deviation


def _mean_s(drops: Sequence[Drop]) -> float | None:
    return float(np.mean([time for drop in drops for time in drop.times])) if drops else None


def _timed_sd(hanging: Hanging, drops: Sequence[Drop], author: str) -> float:
    """Standard deviation of the mean of all their times [s]."""
    drop = drops[0]
    scatter = hanging.inference.observations.timing_sd.get((author, drop.method), method_sd(drop))
    return mean_sd(replace(drop, times=tuple(t for each in drops for t in each.times)), scatter)


def _offset(hanging: Hanging) -> Estimate:
    """Center of gravity forward of the pivot [m]."""
    plane = hanging.lean()
    sd = np.sqrt(np.maximum(plane.covariance[:, 0, 0], 0.0))
    return estimate(plane.weight, plane.mean[:, 0], sd)


def _there(hanging: Hanging) -> Iterator[Reading]:
    """What was read of this version with every adjuster where it stands, that day."""
    stands = hanging.hung
    for logged in hanging.inference.kit.readings:
        hung = logged.hung
        same = (hung.version, hung.day) == (stands.version, stands.day)
        if same and dict(hung.settings) == dict(stands.settings):
            yield logged.reading


def _alike(hanging: Hanging, drop: Drop) -> Iterator[Drop]:
    """Drops there with their nose told, let go and timed as this one."""
    how = drop.release, drop.stop, drop.method
    for reading in _there(hanging):
        if (
            reading.kind == "drop"
            and reading.nose is not None
            and (reading.release, reading.stop, reading.method) == how
        ):
            yield reading


def slide(hanging: Hanging, offset: Estimate, axis: int = 0) -> Slid | None:
    """How far the slide along x (0) or y (1) goes to take an offset out; None where none moves."""
    tree, hangs = hanging.tree, hanging.hangs
    free = free_adjusters(tree, [], [])[axis]
    if not free:
        return None
    index = free[0]
    per_m = float(hangs.part_mass_kg @ tree.slides[:, index, axis]) / float(hangs.mass_kg)
    if index == tree.pivot:
        per_m -= float(tree.way[axis])
    scale = tree.scales[index]
    value, *ends = (-each / per_m for each in (offset.value, *offset.interval()))
    low, high = sorted(scale.scale.sign * each for each in ends)
    way = toward(tree, index, value)
    return Slid(tree.adjusters[index], scale, Bounds(scale.scale.sign * value, low, high), way)
