"""Drop times that stand apart from the others of one test."""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

# B. Iglewicz & D. C. Hoaglin, How to Detect and Handle Outliers (1993), section 3.3: the score
# 0.6745 |x - median| / MAD beyond 3.5.
_SCORE = 3.5
_CONSISTENT = 0.6745
# Fewer times do not tell which of them is the odd one.
FEWEST = 3
# Times that a hand took alike by chance scatter no less than this share of what is usual for it.
_LEAST_SHARE = 0.5


def odd_times(times: Sequence[float], usual_sd_s: float) -> tuple[int, ...]:
    """Which of some drop times [s] stand apart, where one timing usually scatters by so much.

    Examples
    --------
    >>> odd_times([3.1, 3.0, 3.2, 4.4], usual_sd_s=0.1)
    (3,)
    """
    if len(times) < FEWEST:
        return ()
    middle = median(times)
    spread = median(abs(time - middle) for time in times) / _CONSISTENT
    limit = _SCORE * max(spread, _LEAST_SHARE * usual_sd_s)
    return tuple(i for i, time in enumerate(times) if abs(time - middle) > limit)
