"""Times that cannot be right. They are taken nevertheless, and somebody is told."""

from __future__ import annotations

from typing import Literal

from riglog.library.standing import moment
from riglog.logbook.entry import now

Doubt = Literal["ahead", "long ago", "behind"]

# Clocks of two machines differ by minutes, a wrong time zone or year by hours and more.
_AHEAD_S = 3600.0
_LONG_AGO = "2000-01-01T00:00:00Z"


def doubt_of_version(at: str, before: str) -> Doubt | None:
    """Why the clock of this machine, or of the one that recorded the version before, is wrong."""
    return "behind" if moment(at) + _AHEAD_S < moment(before) else None


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


def today() -> str:
    """The calendar day, where this machine is."""
    return now()[:10]


def instant(text: str) -> str:
    """A time as typed, RFC 3339 with offset; without one, this machine's local time.

    Raises
    ------
    CallError
        If the text is no time.
    """
    # Only who tells a time pays for what reads it; documents are read by the same rule.
    from riglog.interchange.forms import instant as read

    return read(text)


def day_of(words: str) -> str | None:
    """The calendar day that words mean: itself, today or yesterday; None where they mean none.

    Examples
    --------
    >>> day_of("2026-03-14")
    '2026-03-14'
    """
    from datetime import date, timedelta

    word = words.strip().casefold()
    if word in {"today", "yesterday"}:
        return (date.fromisoformat(today()) - timedelta(days=word == "yesterday")).isoformat()
    try:
        return date.fromisoformat(word).isoformat()
    except ValueError:
        return None
