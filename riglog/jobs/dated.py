"""Dates of readings that cannot be right: taken nevertheless, and told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.answers import Warned
from riglog.library.clock import doubt

if TYPE_CHECKING:
    from collections.abc import Iterator

_YEAR, _DAY, _MINUTE = 4, 10, 16


def odd_date(on: str, clock: str) -> Iterator[Warned]:
    """A warning if a reading taken on ``on`` lies ahead of the clock, or long ago.

    Of another year the day is told; of this one the hour too, which may be all that is wrong.
    """
    if (odd := doubt(on, clock)) is None:
        return
    if odd == "ahead" and on[:_YEAR] == clock[:_YEAR]:
        yield Warned("clock_ahead", on[:_MINUTE].replace("T", " "))
    else:
        yield Warned("untimed_year", on[:_DAY])
