"""How far a scale goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from riglog.records import Adjuster


def beyond_travel(scale: Adjuster, reading: float) -> float:
    """How far a reading lies past the end of the travel [m], negative below it; 0 within."""
    if scale.travel is None:
        return 0.0
    low, high = scale.travel
    over = max(reading - high, 0.0) + min(reading - low, 0.0)
    return over if abs(over) > 1e-6 else 0.0
