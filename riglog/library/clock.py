"""Times that cannot be right. They are taken nevertheless, and somebody is told."""

from __future__ import annotations

from typing import Literal

from riglog.library.standing import moment

Doubt = Literal["ahead", "long ago"]

# Clocks of two machines differ by minutes, a wrong time zone or year by hours and more.
_AHEAD_S = 3600.0
_LONG_AGO = "2000-01-01T00:00:00Z"


def doubt(on: str, now: str) -> Doubt | None:
    """Why a time of measuring looks like a clock that was never set, or like a slip.

    Examples
    --------
    >>> doubt("2027-03-14T09:10:00Z", now="2026-03-14T09:30:00Z")
    'ahead'
    """
    if moment(on) > moment(now) + _AHEAD_S:
        return "ahead"
    return "long ago" if moment(on) < moment(_LONG_AGO) else None
