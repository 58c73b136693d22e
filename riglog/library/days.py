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
_WITH_HOUR = re.compile(r"(?P<day>.*?)(?:^| |(?<=[0-9])[Tt])(?P<hour>[0-9]{1,2}:[0-9]{2})")
_HOUR = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]")
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
    found = _span(words, today)
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


def hour_of(words: str, today: str) -> str:
    """A day in words, and the hour behind it, as ISO 8601; other words as they are.

    Raises
    ------
    CallError
        If they mean several days.

    Examples
    --------
    >>> hour_of("yesterday 9:05", "2026-03-14"), hour_of("14:20", "2026-03-14")
    ('2026-03-13T09:05', '2026-03-14T14:20')
    >>> hour_of("2026-03-14T09:10:00+01:00", "2026-03-14")
    '2026-03-14T09:10:00+01:00'
    """
    day, hour = _parted(words)
    if (found := _span(day or "today", today)) is None:
        return words
    first, last = found
    if first != last:
        raise CallError(f"{quoted(words)} is more than one day", hint="name one, as 2026-03-14")
    return f"{first.isoformat()}{hour and f'T{hour}'}"


def end_of(words: str, today: str) -> str:
    """The last day that words mean, and the hour behind it if one is told, as ISO 8601.

    Raises
    ------
    CallError
        If they mean none.

    Examples
    --------
    >>> end_of("last week", "2026-03-14"), end_of("2026-03-13 9:05", "2026-03-14")
    ('2026-03-08', '2026-03-13T09:05')
    """
    day, hour = _parted(words)
    if hour and not _HOUR.fullmatch(hour):
        raise CallError(f"{quoted(words)} is no time of a day", hint="write 2026-03-14T09:10")
    return f"{days_of(day, today).last}{hour and f'T{hour}'}"


def _parted(words: str) -> tuple[str, str]:
    """A day and the hour behind it, in two figures; empty where there is none."""
    said = " ".join(words.split())
    match = _WITH_HOUR.fullmatch(said)
    return (match["day"], match["hour"].zfill(len("09:10"))) if match else (said, "")


Span = tuple[date, date]


def _span(words: str, today: str) -> Span | None:
    said, now = " ".join(words.casefold().split()), date.fromisoformat(today)
    return _counted(said, now) or _weekday(said, now) or _calendar(said)


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
