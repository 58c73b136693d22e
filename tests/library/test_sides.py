from __future__ import annotations

import pytest

from riglog.errors import CallError
from riglog.library.adjusters import checked_mark
from riglog.library.sides import parse_sides
from riglog.records import Adjuster, PivotPair

SCALE = Adjuster(id="pivot", axis="z", travel=(0.1, 0.25))


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("212mm,213.5mm", "mm"),
        ("212 mm, 213.5 mm", "mm"),
        ("212/213.5", "mm"),
        ("212/213.5 mm", "mm"),
        ("21.2cm,213.5mm", "in"),
    ],
)
def test_two_readings_are_the_left_side_and_the_right(text: str, unit: str) -> None:
    assert parse_sides(text, unit) == PivotPair(left=0.212, right=0.2135)


@pytest.mark.parametrize(
    ("text", "unit"),
    [("212mm", "mm"), ("212", "mm"), ("212,5", "mm"), ("212,5mm", "mm"), ("8 3/8", "in")],
)
def test_one_reading_is_no_pair_and_neither_is_a_decimal_comma_or_a_fraction(
    text: str, unit: str
) -> None:
    assert parse_sides(text, unit) is None


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("212mm,21mm", "sets the two sides 191.0 mm apart; read both scales again"),
        ("212mm,213s", "a time"),
        ("249mm,251mm", "pivot cannot stand at .*its travel is 100.0 mm to 250.0 mm"),
        ("212,5", "has a comma"),
    ],
)
def test_sides_that_no_hand_could_set_are_refused(text: str, told: str) -> None:
    with pytest.raises(CallError, match=told):
        checked_mark(SCALE, text, "ring")


def test_a_post_rig_has_one_reading() -> None:
    with pytest.raises(CallError, match="is two readings; a post rig has one pivot"):
        checked_mark(SCALE, "212mm,213mm", "post")
