from __future__ import annotations

import csv
import io

from riglog.wording import spreadsheet


def test_text_that_would_run_as_a_formula_is_held_back_and_numbers_are_not() -> None:
    page = spreadsheet.text(["name", "mark_mm"], [["=1+2", -3.5], ["@x", 4.0], ["-b", None]])
    assert page.splitlines() == ["name,mark_mm", "'=1+2,-3.5", "'@x,4.0", "'-b,"]


def test_what_is_written_is_read_back() -> None:
    row = ['says "so", and\nmore', 0.1234567, -0.0]
    page = spreadsheet.text(["a", "b", "c"], [row])
    assert list(csv.reader(io.StringIO(page)))[1] == [row[0], "0.123457", "0.0"]
