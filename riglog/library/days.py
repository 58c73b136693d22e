"""Days as people say them: yesterday, friday, last week, 2026-03-14."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date, timedelta
from typing import NamedTuple

from riglog.errors import CallError, quoted

_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SHORTEST = 3
_AGO = re.compile(r"(?P<count>[0-9]{1,4}) (?P<unit>day|week)s? ago")
_HINT = "write yesterday, friday, last week, 3 days ago, 2026-03 or 2026-03-14"


class Days(NamedTuple):
    """The first day and the last, ISO 8601."""

    first: str
    last: str

    def __contains__(self, day: object) -> bool:
        return isinstance(day, str) and self.first <= day <= self.last


def days_of(words: str, today: str) -> Days:
    """The days that words mean.

    A weekday is the last one before today; last week is the one that ended with the last Sunday.

    Parameters
    ----------
    words
        As typed.
    today
        ISO 8601.

    Raises
    ------
    CallError
        If they mean none.

    Examples
    --------
    >>> days_of("yesterday", "2026-03-14")
    Days(first='2026-03-13', last='2026-03-13')
    >>> days_of("last week", "2026-03-14")
    Days(first='2026-03-02', last='2026-03-08')
    >>> days_of("fri", "2026-03-14")
    Days(first='2026-03-13', last='2026-03-13')
    """
    said, now = " ".join(words.casefold().split()), date.fromisoformat(today)
    found = _counted(said, now) or _weekday(said, now) or _calendar(said)
    if found is None:
        raise CallError(f"{quoted(words)} is no day", hint=_HINT)
    first, last = found
    return Days(first.isoformat(), last.isoformat())


def day_of(words: str, today: str) -> str:
    """The one day that words mean.

    Raises
    ------
    CallError
        If they mean none, or several.
    """
    found = days_of(words, today)
    if found.first != found.last:
        raise CallError(f"{quoted(words)} is more than one day", hint="name one, as 2026-03-14")
    return found.first


Span = tuple[date, date]


def _counted(said: str, now: date) -> Span | None:
    """Today, and what is counted back from it."""
    monday = now - timedelta(days=now.weekday())
    month = now.replace(day=1)
    spans = {
        "today": (now, now),
        "yesterday": (now - timedelta(days=1),) * 2,
        "this week": (monday, now),
        "last week": (monday - timedelta(days=7), monday - timedelta(days=1)),
        "this month": (month, now),
        "last month": ((month - timedelta(days=1)).replace(day=1), month - timedelta(days=1)),
    }
    if match := _AGO.fullmatch(said):
        days = int(match["count"]) * (7 if match["unit"] == "week" else 1)
        return (now - timedelta(days=days),) * 2
    return spans.get(said)


def _weekday(said: str, now: date) -> Span | None:
    name = said.removeprefix("last ")
    fits = [n for n, each in enumerate(_WEEKDAYS) if each.startswith(name)]
    if len(name) < _SHORTEST or len(fits) != 1:
        return None
    back = (now.weekday() - fits[0] - 1) % 7 + 1
    return (now - timedelta(days=back),) * 2


def _calendar(said: str) -> Span | None:
    """A day, a month or a year by its figures."""
    year, _, month = said.partition("-")
    try:
        if re.fullmatch(r"[0-9]{4}", said, re.ASCII):
            return date(int(said), 1, 1), date(int(said), 12, 31)
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}", said, re.ASCII):
            numbers = int(year), int(month)
            return date(*numbers, 1), date(*numbers, monthrange(*numbers)[1])
        return (date.fromisoformat(said),) * 2
    except ValueError:
        return None
