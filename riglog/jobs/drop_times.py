"""Heights of the pivot above the center of gravity as drop times from horizontal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import UnreachableError
from riglog.estimation.heights import FROM_HORIZONTAL, shortest_s
from riglog.estimation.heights import drop as drop_at
from riglog.jobs.answers import Value

if TYPE_CHECKING:
    from riglog.estimation.interval import Estimate
    from riglog.estimation.settle import Settled


def refuse_too_short(wanted_s: float, gyration_m2: float) -> None:
    """Refuse a drop time [s] that no mark of a build gives.

    Raises
    ------
    UnreachableError
        If it is shorter than the shortest.
    """
    shortest = float(shortest_s(FROM_HORIZONTAL, gyration_m2))
    if wanted_s < shortest:
        raise UnreachableError(
            f"no mark drops in {wanted_s:.2f} s",
            hint=f"the shortest drop of this build is {shortest:.2f} s",
        )


def drop_of(depth_m: float, settled: Settled) -> float | None:
    """Drop time from horizontal at a depth, None where it is top heavy."""
    return time_of(depth_m, float(settled.hangs.gyration_m2[0]))


def time_of(depth_m: float, gyration_m2: float, factor: float = FROM_HORIZONTAL) -> float | None:
    """Drop time [s] of a pivot that far above the center of gravity; None at neutral and below."""
    if depth_m <= 0:
        return None
    return float(drop_at(depth_m, factor, gyration_m2))


def drop_value(depth: Estimate, gyration_m2: float, factor: float = FROM_HORIZONTAL) -> Value:
    """A depth as a drop time: lopsided, and open above where it may be top heavy."""
    return drop_between(depth.value, *depth.interval(), gyration_m2, factor)


def drop_between(
    depth_m: float,
    low: float,
    high: float,
    gyration_m2: float,
    factor: float = FROM_HORIZONTAL,
) -> Value:
    """The same of a depth and its bounds [m]."""
    # Beyond k above the center a drop grows longer again, and is never shorter than there.
    quickest = min(max(low, gyration_m2**0.5), high)
    value, shortest, *ends = (
        time_of(each, gyration_m2, factor) for each in (depth_m, quickest, low, high)
    )
    slowest = None if None in ends else max(each for each in ends if each is not None)
    return Value(value, shortest, slowest)
