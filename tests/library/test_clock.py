from __future__ import annotations

import pytest

from riglog.library.clock import doubt, doubt_of_version

NOW = "2026-03-14T09:10:00+01:00"


@pytest.mark.parametrize(
    ("on", "why"),
    [
        ("2026-03-14T09:00:00+01:00", None),
        ("2026-03-14T08:40:00Z", None),  # half an hour ahead: clocks differ
        ("2026-03-14T09:40:00Z", "ahead"),
        ("2031-01-01T00:00:00Z", "ahead"),
        ("2001-05-01T00:00:00Z", None),
        ("1980-01-01T00:00:00Z", "long ago"),
    ],
)
def test_a_time_that_no_reading_can_have_is_doubted(on: str, why: str | None) -> None:
    assert doubt(on, NOW) == why


def test_a_version_that_is_older_than_the_one_before_is_doubted() -> None:
    assert doubt_of_version("2026-03-14T09:10:00Z", before="2026-03-14T09:12:00Z") is None
    assert doubt_of_version("2026-03-14T09:10:00Z", before="2026-03-14T19:10:00Z") == "behind"
