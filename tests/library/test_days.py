from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.errors import CallError
from riglog.library.days import Days, day_of, days_of, end_of, hour_of

SATURDAY = "2026-03-14"


@pytest.mark.parametrize(
    ("words", "first", "last"),
    [
        ("today", "2026-03-14", "2026-03-14"),
        ("Yesterday", "2026-03-13", "2026-03-13"),
        ("2026-02-28", "2026-02-28", "2026-02-28"),
        ("2024-02", "2024-02-01", "2024-02-29"),
        ("2025", "2025-01-01", "2025-12-31"),
        ("this  week", "2026-03-09", "2026-03-14"),
        ("last week", "2026-03-02", "2026-03-08"),
        ("this month", "2026-03-01", "2026-03-14"),
        ("last month", "2026-02-01", "2026-02-28"),
        ("3 days ago", "2026-03-11", "2026-03-11"),
        ("1 week ago", "2026-03-07", "2026-03-07"),
        ("friday", "2026-03-13", "2026-03-13"),
        ("last Mon", "2026-03-09", "2026-03-09"),
        ("sat", "2026-03-07", "2026-03-07"),
    ],
)
def test_people_say_days_in_many_ways(words: str, first: str, last: str) -> None:
    assert days_of(words, SATURDAY) == Days(first, last)


@pytest.mark.parametrize(
    "words", ["", "soon", "fr", "t", "2026-02-30", "2026-13", "14.3.", "last", "week", "20260314x"]
)
def test_what_is_no_day_is_refused_with_what_to_write(words: str) -> None:
    with pytest.raises(CallError, match="is no day") as refused:
        days_of(words, SATURDAY)
    assert "yesterday" in refused.value.hint


@pytest.mark.parametrize(
    ("words", "iso"),
    [
        ("yesterday", "2026-03-13"),
        ("friday 9:05", "2026-03-13T09:05"),
        ("14:20", "2026-03-14T14:20"),
        ("2 days ago 14:20", "2026-03-12T14:20"),
        ("2026-03-13 12:00", "2026-03-13T12:00"),
        ("2026-03-13T12:00", "2026-03-13T12:00"),
        ("Tuesday", "2026-03-10"),
        ("0001-01-01", "0001-01-01"),
        ("2026-03-13 12:00:30+01:00", "2026-03-13 12:00:30+01:00"),
        ("soon", "soon"),
    ],
)
def test_an_hour_stands_behind_any_day(words: str, iso: str) -> None:
    assert hour_of(words, SATURDAY) == iso


def test_the_end_of_days_is_the_last_of_them() -> None:
    assert end_of("last week", SATURDAY) == "2026-03-08"
    assert end_of("friday 9:05", SATURDAY) == "2026-03-13T09:05"
    for words in ("soon", "friday 25:00", "2026-02-30"):
        with pytest.raises(CallError):
            end_of(words, SATURDAY)
    with pytest.raises(CallError, match="more than one day"):
        hour_of("last week", SATURDAY)


def test_several_days_are_not_one() -> None:
    assert day_of("yesterday", SATURDAY) == "2026-03-13"
    with pytest.raises(CallError, match="more than one day"):
        day_of("last week", SATURDAY)


@given(st.dates(date(1971, 1, 1), date(2190, 1, 1)), st.integers(1, 7))
def test_a_weekday_is_the_last_one_before_today(today: date, back: int) -> None:
    then = today - timedelta(days=back)
    assert days_of(then.strftime("%A"), today.isoformat()).first == then.isoformat()


def test_a_day_lies_among_days_from_the_first_to_the_last() -> None:
    days = Days("2026-03-02", "2026-03-08")
    assert [day in days for day in ("2026-03-01", "2026-03-02", "2026-03-08", "2026-03-09")] == [
        False, True, True, False,
    ]  # fmt: skip
