"""Which drop time to take for a shot: what rules one out, and the best of the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.jobs.shot_answers import Limit, Why

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.shot_answers import ShotRow

# Limits of what is to be flown: a filter's weight, a hand's breadth of sway, a rig that comes back.
LEAST_MARGIN_KG, MOST_SWING_RAD, MOST_BAND_RAD = 0.05, 0.35, 0.26
# One step of the pivot lower may not make the drop this many times as long.
_COARSE = 2.0


def limit(row: ShotRow) -> Limit | None:
    """The first thing that rules a drop time out for any shot."""
    if row.mark.beyond_m:
        return Limit("travel", row.mark.beyond_m)
    down_s, margin_kg = row.down_s.value, row.margin_kg and row.margin_kg.value
    if down_s is None or down_s > _COARSE * row.drop_s:
        return Limit("step", down_s or 0.0)
    if margin_kg is not None and margin_kg < LEAST_MARGIN_KG:
        return Limit("margin", margin_kg)
    for code, value, most in (
        ("band", row.band_rad.value, MOST_BAND_RAD),
        ("swing", row.swing_rad.value, MOST_SWING_RAD),
    ):
        if value is not None and value > most:
            return Limit(code, value)
    return None


def recommended(rows: Sequence[ShotRow], wanted_s: float | None) -> tuple[int, Why]:
    """The number of the row to take, and why.

    The one that the move wants, or the nearest to it that no limit rules out; without a move the
    longest, which is the lightest to hold and swings the least. The nearest is by the ratio.
    """
    fit = [number for number, row in enumerate(rows) if row.limit is None]
    if not fit:
        return 0, Why("none", rows[0])
    if wanted_s is None:
        best = fit[-1]
        longer = [row for row in rows[best + 1 :] if row.limit is not None]
        return best, Why("longest", longer[0] if longer else None)
    at = next((n for n, row in enumerate(rows) if row.drop_s == wanted_s), None)
    if at in fit and at is not None:
        return at, Why("move", None)
    best = min(fit, key=lambda number: abs(np.log(rows[number].drop_s / wanted_s)))
    return best, Why("near", rows[at] if at is not None else None)
