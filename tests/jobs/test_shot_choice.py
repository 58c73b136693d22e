"""Which drop time is to be taken: the choice against its limits."""

from __future__ import annotations

import pytest

from riglog.jobs.lens_table_answers import Mark
from riglog.jobs.shot_answers import Limit, ShotRow
from riglog.jobs.shot_choice import limit, recommended


def row(drop_s: float, code: str = "") -> ShotRow:
    limit = Limit(code, 1.0) if code else None
    mark = Mark(0.5, 0.5, 0.49, 0.51, 0.505, 0.0)
    return ShotRow(drop_s, mark, 1.0, None, 0.1, None, 0.0, None, None, None, None, limit)


@pytest.mark.parametrize(
    ("rows", "wanted", "chosen", "why"),
    [
        ([row(2), row(3), row(6)], None, 2, "longest"),
        ([row(2), row(3), row(6, "step")], None, 1, "longest"),
        ([row(1, "swing"), row(3), row(6, "step")], None, 1, "longest"),
        ([row(2), row(3), row(6)], 3, 1, "move"),
        ([row(2), row(3), row(6, "step")], 6, 1, "near"),
        ([row(2, "margin"), row(3, "margin")], 3, 0, "none"),
    ],
)
def test_the_choice_is_the_one_that_no_limit_rules_out(
    rows: list[ShotRow], wanted: float | None, chosen: int, why: str
) -> None:
    number, because = recommended(rows, wanted)
    assert (number, because.code) == (chosen, why)
    if because.beside is not None:
        assert because.beside.limit is not None


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({}, None),
        ({"mark": Mark(0.5, 0.5, 0.49, 0.51, 0.505, 0.002)}, "travel"),
        ({"down_s": None}, "step"),
        ({"down_s": 6.1}, "step"),
        ({"margin_kg": 0.04}, "margin"),
        ({"band_rad": 0.3}, "band"),
        ({"swing_rad": 0.4}, "swing"),
    ],
)
def test_a_limit_is_named_by_what_sets_it(change: dict[str, object], code: str | None) -> None:
    fine = row(3)._replace(up_s=2.5, down_s=3.6, margin_kg=0.3)
    found = limit(fine._replace(**change))  # type: ignore[arg-type]  # each is of its field
    assert (found and found.code) == code
