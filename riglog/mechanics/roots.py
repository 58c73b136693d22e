"""Roots of a function of one variable, many at once, each safe inside its bracket."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from riglog.mechanics.arrays import FloatArray, IndexArray

_ULP = float(np.finfo(float).eps)
_MOST_STEPS = 200


def bracketed_root(
    function: Callable[[FloatArray, IndexArray], FloatArray],
    ends: tuple[FloatArray, FloatArray],
    values: tuple[FloatArray, FloatArray],
    guess: FloatArray,
) -> FloatArray:
    """Where a continuous function is zero, to the last digits.

    Parameters
    ----------
    function
        Called with points (m,) and the indices (m,) of the roots that they are tried for;
        finite everywhere between the ends.
    ends, values
        Two points on either side of each root, (n,) arrays, and the function's values there, of
        opposite signs or zero.
    guess : (n,) array
        Between the ends.

    Returns
    -------
    (n,) array

    References
    ----------
    T. R. Chandrupatla, "A new hybrid quadratic/bisection algorithm", Advances in Engineering
    Software 28 (1997) 145-149: inverse quadratic interpolation where it is safe, else halving.
    """
    (a, b), (fa, fb) = ends, values
    result = np.where(fa == 0.0, a, b)
    index = np.flatnonzero((fa != 0.0) & (fb != 0.0))
    a, b, fa, fb = a[index], b[index], fa[index], fb[index]
    step = (guess[index] - a) / (b - a)
    for _ in range(_MOST_STEPS):
        if not index.size:
            break
        point = a + step * (b - a)
        value = function(point, index)
        same = np.sign(value) == np.sign(fa)
        # a is the newest point, b the other end, c the one that was given up.
        c, fc = np.where(same, a, b), np.where(same, fa, fb)
        b, fb = np.where(same, b, a), np.where(same, fb, fa)
        a, fa = point, value
        best = np.where(abs(fa) < abs(fb), a, b)
        result[index] = best
        limit = 2.0 * _ULP * (abs(best) + _ULP) / abs(b - a)
        go_on = (limit < 0.5) & (fa != 0.0)
        a, b, c, fa, fb, fc, limit, index = (
            array[go_on] for array in (a, b, c, fa, fb, fc, limit, index)
        )
        step = np.clip(_next_step((a, b, c), (fa, fb, fc)), limit, 1.0 - limit)
    return result


def _next_step(points: tuple[FloatArray, ...], values: tuple[FloatArray, ...]) -> FloatArray:
    """Fraction of the way from a to b that the next point lies at."""
    (a, b, c), (fa, fb, fc) = points, values
    xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
    safe = (phi**2 < xi) & ((1.0 - phi) ** 2 < 1.0 - xi)
    a, b, c, fa, fb, fc = (array[safe] for array in (a, b, c, fa, fb, fc))
    step = np.full(safe.shape, 0.5)
    step[safe] = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (
        fc - fb
    )
    return step
