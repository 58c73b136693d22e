from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.errors import CallError
from riglog.library.adjusters import checked_mark
from riglog.library.sides import parse_sides
from riglog.records import Adjuster, PivotPair
from riglog.wording import readings

INCH = 0.0254
SCALE = Adjuster(id="pivot", axis="z", travel=(0.1, 0.25))
INCHES = Adjuster(id="pivot", axis="z", travel=(0, 16 * INCH), step=INCH / 8, unit="in")


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("212mm,213.5mm", "mm"),
        ("212 mm, 213.5 mm", "mm"),
        ("212/213.5", "mm"),
        ("212/213.5 mm", "mm"),
        ("21.2cm,213.5mm", "in"),
        ("212.0,213.5", "mm"),
        ("212, 213.5", "mm"),
        ("212,213.5 mm", "in"),
        ("212mm,213.5", "in"),
        ("212/213.5mm", "in"),
        ("212mm/213.5mm", "in"),
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
    for text in ("212mm,213mm", "212.5,213.5"):
        with pytest.raises(CallError, match="is two readings; a post rig has one pivot"):
            checked_mark(SCALE, text, "post")
    with pytest.raises(CallError, match=r"has a comma; write 212\.213 or 212213"):
        checked_mark(SCALE, "212,213", "post")


@pytest.mark.parametrize(
    ("text", "left", "right"),
    [
        ("3in,3 1/8in", 3, 3.125),
        ("3in,3 1/8", 3, 3.125),
        ("3, 3 1/8 in", 3, 3.125),
        ("3,3.125", 3, 3.125),
        ("3/3 1/8 in", 3, 3.125),
        ("3 1/8/3 in", 3.125, 3),
        ("5in/5.1in", 5, 5.1),
        ("1/8/1/4 in", 0.125, 0.25),
        ("3 in/4 in", 3, 4),
        ("3in,4", 3, 4),
        ("3/3", 3, 3),
        ("5/5 in", 5, 5),
        ("76/77mm", 76 / 25.4, 77 / 25.4),
        ("1 ft 3 in/1 ft 3 1/8 in", 15, 15.125),
    ],
)
def test_a_ring_in_inches_has_two_sides_where_that_is_the_only_sense(
    text: str, left: float, right: float
) -> None:
    read = checked_mark(INCHES, text, "ring")
    assert isinstance(read, PivotPair)
    assert (read.left / INCH, read.right / INCH) == pytest.approx((left, right))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("3/8", 0.375),
        ("3 7/8", 3.875),
        ("7/8 in", 0.875),
        ("1/2in", 0.5),
        ("0.875", 0.875),
    ],
)
def test_a_fraction_of_an_inch_is_one_reading(text: str, told: float) -> None:
    assert checked_mark(INCHES, text, "ring") == pytest.approx(told * INCH)


def test_the_travel_tells_a_fraction_from_two_sides() -> None:
    high = Adjuster(id="pivot", axis="z", travel=(4 * INCH, 16 * INCH), unit="in")
    low = Adjuster(id="pivot", axis="z", travel=(0, 4 * INCH), unit="in")
    assert checked_mark(high, "7/8", "ring") == PivotPair(left=0.1778, right=0.2032)
    assert checked_mark(low, "7/8", "ring") == pytest.approx(0.875 * INCH)


@pytest.mark.parametrize(
    ("scale", "text", "told"),
    [
        (INCHES, "7/8", "could be one reading or both sides; write 7/8 in, or 7in,8in for left"),
        (SCALE, "212,213", "write 212.213 mm, or 212mm,213mm for left and right"),
        (INCHES, "212/213", "pivot cannot stand at"),
        (SCALE, "212.5,213,214", "has a comma; write one figure"),
    ],
)
def test_what_could_be_two_things_is_never_guessed(scale: Adjuster, text: str, told: str) -> None:
    with pytest.raises(CallError, match=told):
        checked_mark(scale, text, "ring")


STEPS = st.sampled_from([
    ("mm", 0.0005), ("mm", 0.001), ("mm", 0.00025), ("cm", 0.001), ("in", INCH / 8),
    ("in", INCH / 32), ("in", INCH / 10), ("in", INCH / 20), ("in", INCH),
])  # fmt: skip


@given(STEPS, st.integers(-2000, 4000), st.floats(-1, 1))
def test_two_sides_as_printed_read_back_as_the_same_two(
    scale: tuple[str, float], left: int, apart: float
) -> None:
    unit, step = scale
    pivot = Adjuster(id="pivot", axis="z", step=step, unit=unit)
    right = left + int(apart * 0.049 / step)
    stood = PivotPair(left=left * step, right=right * step)
    read = checked_mark(pivot, readings.mark(stood, pivot), "ring")
    if left == right:
        assert read == pytest.approx(stood.left, abs=1e-9)
    else:
        assert isinstance(read, PivotPair)
        assert (read.left, read.right) == pytest.approx((stood.left, stood.right), abs=1e-9)


@given(STEPS, st.integers(-2000, 4000))
def test_one_reading_as_printed_reads_back_as_the_same(
    scale: tuple[str, float], steps: int
) -> None:
    unit, step = scale
    pivot = Adjuster(id="pivot", axis="z", step=step, unit=unit)
    read = checked_mark(pivot, readings.mark(steps * step, pivot), "ring")
    assert read == pytest.approx(steps * step, abs=1e-9)
