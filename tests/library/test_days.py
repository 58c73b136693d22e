from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.errors import CallError
from riglog.library.days import Days, day_of, days_of

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
