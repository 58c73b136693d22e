"""Comma-separated values that a spreadsheet opens without harm."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

Cell = str | float | None
# A text that begins so would be run as a formula.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def text(heading: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """A heading and rows, without a newline at the end; figures with a point, whatever the place.

    A text that a spreadsheet would take for a formula begins with an apostrophe; a number, which
    may well be negative, is left alone, and nothing known is an empty cell.
    """
    page = io.StringIO()
    writer = csv.writer(page, lineterminator="\n")
    writer.writerow([_cell(each) for each in heading])
    writer.writerows([_cell(each) for each in row] for row in rows)
    return page.getvalue().removesuffix("\n")


def _cell(value: Cell) -> Cell:
    if isinstance(value, str):
        return f"'{value}" if value.startswith(_FORMULA) else value
    return number(value)


def number(value: float | None) -> float | None:
    """A figure without the noise behind its sixth decimal; nothing is ever -0."""
    return None if value is None else round(value, 6) + 0.0
