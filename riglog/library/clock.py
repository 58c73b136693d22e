"""Times that cannot be right. They are taken nevertheless, and somebody is told."""

from __future__ import annotations

from typing import Literal

from riglog.errors import CallError
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

    A day may be told in words, with the hour behind it; today without an hour is now.

    Raises
    ------
    CallError
        If the text is no time.
    """
    # Only who tells a time pays for what reads it; documents are read by the same rule.
    from riglog.interchange.forms import instant as read
    from riglog.library.days import hour_of

    if text.strip().casefold() == "today":
        return now()
    try:
        return read(hour_of(text, today()))
    except CallError as error:
        hint = 'write a day and an hour, as "yesterday 14:20" or 2026-03-14T09:10'
        raise CallError(error.message, hint=hint) from error
