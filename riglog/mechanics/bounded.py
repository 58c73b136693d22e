"""Least squares within bounds, for a handful of unknowns."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import FloatArray, floats

# Each step frees one unknown or holds one; a few times as many as there are is always enough.
_MOST_STEPS = 30
_SETTLED = 1e-12


def bounded_least_squares(
    design: npt.ArrayLike, target: npt.ArrayLike, low: npt.ArrayLike, high: npt.ArrayLike
) -> FloatArray:
    """The x within low <= x <= high that makes |design x - target| the least.

    An active set: unknowns at a bound are held there, the others solved for freely; one that would
    leave its bounds is stopped at the first it meets, and one that would rather come back from its
    bound is let go, the most eager first.

    Parameters
    ----------
    design : (m, n) array
        Of full column rank, so that there is one answer.
    target : (m,) array
    low, high : (n,) array
        May be infinite; low <= high.

    Returns
    -------
    (n,) array

    Raises
    ------
    ValueError
        If the bounds cross, or no end is found.

    References
    ----------
    P. B. Stark & R. L. Parker, Bounded-variable least-squares: an algorithm and applications,
    Computational Statistics 10 (1995), from memory.
    """
    design, target, low, high = floats(design), floats(target), floats(low), floats(high)
    if not np.all(low <= high):
        raise ValueError("the bounds cross")
    x = np.clip(np.zeros(design.shape[1]), low, high)
    free = (x > low) & (x < high)
    small = _SETTLED * (1.0 + float(np.max(abs(design.T @ target), initial=0.0)))
    for _ in range(_MOST_STEPS * (1 + len(x))):
        wanted = _solved(design, target, x, free)
        step, first = _room(x, wanted, low, high, free)
        x = x + step * (wanted - x)
        if first is not None:
            x[first] = low[first] if wanted[first] < x[first] else high[first]
            free[first] = False
            continue
        pull = design.T @ (target - design @ x)
        eager = np.where(free | (low == high), 0.0, np.where(x <= low, pull, -pull))
        if np.max(eager, initial=0.0) <= small:
            return x
        free[np.argmax(eager)] = True
    raise ValueError("no least squares within these bounds was found")


def _solved(
    design: FloatArray, target: FloatArray, x: FloatArray, free: npt.NDArray[np.bool_]
) -> FloatArray:
    """The least squares of the free unknowns, the others where they are."""
    wanted = x.copy()
    rest = target - design[:, ~free] @ x[~free]
    wanted[free] = np.linalg.lstsq(design[:, free], rest, rcond=None)[0]
    return wanted


def _room(
    x: FloatArray,
    wanted: FloatArray,
    low: FloatArray,
    high: FloatArray,
    free: npt.NDArray[np.bool_],
) -> tuple[float, int | None]:
    """Share of the way that can be gone, and which unknown stops there if not all of it can."""
    ends = np.where(wanted < x, low, high)
    beyond = free & ((wanted < low) | (wanted > high))
    if not np.any(beyond):
        return 1.0, None
    way = np.where(beyond, wanted - x, 1.0)
    shares = np.where(beyond, (ends - x) / way, np.inf)
    first = int(np.argmin(shares))
    return float(shares[first]), first
