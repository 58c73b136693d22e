from __future__ import annotations

import pytest

from riglog.jobs.answers import Warned
from riglog.jobs.dated import odd_date

NOON = "2026-03-14T12:00:00+01:00"


@pytest.mark.parametrize(
    ("on", "told"),
    [
        ("2026-03-14T23:20:00+01:00", [Warned("clock_ahead", "2026-03-14 23:20")]),
        ("2026-03-15T09:00:00+01:00", [Warned("clock_ahead", "2026-03-15 09:00")]),
        ("2031-01-01T00:00:00+01:00", [Warned("untimed_year", "2031-01-01")]),
        ("1970-01-01T00:00:00+01:00", [Warned("untimed_year", "1970-01-01")]),
        ("2026-03-14T12:40:00+01:00", []),  # clocks differ
        ("2026-03-13T23:20:00+01:00", []),
    ],
)
def test_of_this_year_the_hour_may_be_wrong_and_of_another_the_day(
    on: str, told: list[Warned]
) -> None:
    assert list(odd_date(on, NOON)) == told
