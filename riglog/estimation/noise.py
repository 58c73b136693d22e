"""How well each person times a drop, by each method."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from riglog.estimation.kit import Logged
    from riglog.records import Drop

METHOD_SD_S: Mapping[str, float] = {"counted": 0.3, "stopwatch": 0.1, "sensor": 0.02}
DEFAULT_FPS = 25.0
# The default counts as much as ten repeats beyond the first.
PRIOR_REPEATS = 10


def method_sd(drop: Drop) -> float:
    """Standard deviation [s] of one timing before anyone's own scatter is known.

    What the reading says itself comes first. A clip's start and stop frames each hide a
    rectangular error one frame wide: 1/(fps sqrt 6) (JCGM 100:2008, F.2.2.1).
    """
    if drop.sd is not None:
        return drop.sd
    if drop.method == "clip":
        return 1.0 / ((drop.fps or DEFAULT_FPS) * 6**0.5)
    return METHOD_SD_S[drop.method]


def mean_sd(drop: Drop, one_sd_s: float) -> float:
    """Standard deviation [s] of the mean time up to upright, where that of one timing is so much.

    Repeats that were counted aloud share the pace of who counted and are rounded alike: their mean
    is no better than one of them.
    """
    repeats = 1 if drop.method == "counted" else len(drop.times)
    return float(drop.share * one_sd_s / np.sqrt(repeats))


def pooled_sd(readings: Iterable[Logged]) -> Mapping[tuple[str, str], float]:
    """Standard deviation of one timing [s] by person and method, pooled over their repeats.

    (10 s0^2 + sum (n - 1) s^2) / (10 + sum (n - 1)), s0^2 the method's default, of clips at several
    frame rates their mean (pooled estimate of variance, JCGM 100:2008, 4.2.4, with a prior worth
    ten repeats). Of what is counted aloud repeats can show more scatter than usual, never less.
    """
    squares: dict[tuple[str, str], float] = defaultdict(float)
    repeats: dict[tuple[str, str], int] = defaultdict(int)
    defaults: dict[tuple[str, str], list[float]] = defaultdict(list)
    for logged in readings:
        drop = logged.reading
        if drop.kind == "drop":
            who = logged.author, drop.method
            squares[who] += float(np.var(drop.times)) * len(drop.times)
            repeats[who] += len(drop.times) - 1
            defaults[who].append(method_sd(drop) ** 2)
    return {
        who: _pooled(who[1], float(np.mean(default)), squares[who], repeats[who])
        for who, default in defaults.items()
    }


def _pooled(method: str, default: float, squares: float, repeats: int) -> float:
    pooled = (PRIOR_REPEATS * default + squares) / (PRIOR_REPEATS + repeats)
    return float(np.sqrt(max(pooled, default) if method == "counted" else pooled))
