"""Which drop time is to be taken: the choice against its limits."""

from __future__ import annotations

import pytest

from riglog.jobs.answers import Value
from riglog.jobs.lens_table_answers import Mark
from riglog.jobs.shot_answers import Limit, ShotRow
from riglog.jobs.shot_choice import limit, recommended


def sure(value: float | None) -> Value:
    return Value(value, value, value)


def row(drop_s: float, code: str = "") -> ShotRow:
    limit = Limit(code, 1.0) if code else None
    mark = Mark(0.5, 0.5, 0.49, 0.51, 0.505, 0.0)
    figures = [
        sure(1.0),
        sure(None),
        sure(0.1),
        None,
        sure(0.0),
        None,
        sure(None),
        sure(None),
        None,
    ]
    return ShotRow(drop_s, mark, *figures, limit)


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
        ({"down_s": sure(None)}, "step"),
        ({"down_s": sure(6.1)}, "step"),
        ({"margin_kg": sure(0.04)}, "margin"),
        ({"band_rad": sure(0.3)}, "band"),
        ({"swing_rad": sure(0.4)}, "swing"),
    ],
)
def test_a_limit_is_named_by_what_sets_it(change: dict[str, object], code: str | None) -> None:
    fine = row(3)._replace(up_s=sure(2.5), down_s=sure(3.6), margin_kg=sure(0.3))
    found = limit(fine._replace(**change))  # type: ignore[arg-type]  # each is of its field
    assert (found and found.code) == code
