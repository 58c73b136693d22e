"""Texts and what they are in SI, exactly; texts and what is said of them."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.errors import QuantityError
from riglog.units import (
    KILOGRAM,
    KILOGRAM_METER_SQUARED,
    METER,
    NEWTON,
    NEWTON_METER,
    RADIAN,
    RATIO,
    SECOND,
    Unit,
    exact,
    parse,
    parse_loose,
    symbols_for,
)

# Each value is the float nearest to the exact one, worked out by hand as a decimal or fraction.
QUANTITIES = [
    ("482 mm", METER, 0.482),
    ("487mm", METER, 0.487),
    ("48.2 cm", METER, 0.482),
    ("0.482 m", METER, 0.482),
    ("18 3/8 in", METER, 0.466725),
    ("3/8 in", METER, 0.009525),
    ("-18 3/8 in", METER, -0.466725),
    ("5 ft 3 1/2 in", METER, 1.6129),
    ("5ft3in", METER, 1.6002),
    ("1/3 in", METER, float(Fraction(254, 30000))),
    ("+3 mm", METER, 0.003),
    ("- 3 mm", METER, -0.003),
    ("\u22123 mm", METER, -0.003),
    ("3\u00a0mm", METER, 0.003),
    ("3\u202fmm", METER, 0.003),
    ("  3   mm\t", METER, 0.003),
    (".5 mm", METER, 0.0005),
    ("5. mm", METER, 0.005),
    ("1e2 mm", METER, 0.1),
    ("1.5E-3 m", METER, 0.0015),
    ("0 mm", METER, 0.0),
    ("0.1 mm", METER, 0.0001),
    ("4.210 kg", KILOGRAM, 4.21),
    ("3 g", KILOGRAM, 0.003),
    ("2 lb 4 oz", KILOGRAM, 1.0205828325),
    ("2lb 4.5oz", KILOGRAM, 1.0347575940625),
    ("-2 lb 4 oz", KILOGRAM, -1.0205828325),
    ("1 kg 20 g", KILOGRAM, 1.02),
    ("3.1 s", SECOND, 3.1),
    ("950 ms", SECOND, 0.95),
    ("1 min 3.5 s", SECOND, 63.5),
    ("90 deg", RADIAN, 1.5707963267948966),
    ("-180 deg", RADIAN, -3.141592653589793),
    ("0.5 rad", RADIAN, 0.5),
    ("12 N", NEWTON, 12.0),
    ("0.4 N m", NEWTON_METER, 0.4),
    ("0.013 kg m2", KILOGRAM_METER_SQUARED, 0.013),
    ("100 lb in2", KILOGRAM_METER_SQUARED, 0.02926396534292),
    ("250 g mm2", KILOGRAM_METER_SQUARED, 2.5e-7),
    ("0.5 %", RATIO, 0.005),
    ("3%", RATIO, 0.03),
]


@pytest.mark.parametrize(("text", "unit", "value"), QUANTITIES)
def test_a_quantity_is_the_float_nearest_to_what_was_written(
    text: str, unit: Unit, value: float
) -> None:
    assert parse(text, unit) == value


BARE_MASS = "write kg, g, lb or oz behind it, as 4.2 kg"
LENGTHS = "the units that fit are mm, cm, m, in and ft"
DESCENDING = "write whole figures from the large unit down to the small, one sign before all"

COMPLAINTS = [
    ("4.2", KILOGRAM, f'"4.2" has no unit; {BARE_MASS}'),
    ("18 3/8", METER, '"18 3/8" has no unit; write mm, cm, m, in or ft behind it, as 18 3/8 mm'),
    ("1e5", METER, '"1e5" has no unit; write mm, cm, m, in or ft behind it, as 1e5 mm'),
    ("0.005", RATIO, '"0.005" has no unit; write a share in %, as 0.5 %'),
    ("487 g", METER, f'"487 g" is a mass and a length is wanted; {LENGTHS}'),
    ("3 m", SECOND, '"3 m" is a length and a time is wanted; the units that fit are s, ms and min'),
    ("3 s", RADIAN, '"3 s" is a time and an angle is wanted; the units that fit are deg and rad'),
    ("nan", METER, '"nan" is no number; write a figure, as 482 mm'),
    ("nan kg", KILOGRAM, '"nan kg" is no number; write a figure, as 4.21 kg'),
    ("-inf mm", METER, '"-inf mm" is no number; write a figure, as 482 mm'),
    ("Infinity mm", METER, '"Infinity mm" is no number; write a figure, as 482 mm'),
    ("3,1 s", SECOND, '"3,1 s" has a comma; write 3.1 s'),
    ("1,250 mm", METER, '"1,250 mm" has a comma; write 1.250 mm or 1250 mm'),
    ("1 250 mm", METER, '"1 250 mm" has its digits in groups; write 1250 mm'),
    ("0x10 mm", METER, '"0x10 mm" is no decimal number; write it as 482 mm'),
    ("1e999 mm", METER, '"1e999 mm" has too many digits; write it as 482 mm'),
    ("2e9 mm", METER, '"2e9 mm" is more than any rig has; check the figure and its unit'),
    ("1e-40 mm", METER, '"1e-40 mm" is next to nothing; write 0'),
    ("\u0663 mm", METER, '"\u0663 mm" holds "\u0663"; write it with the digits 0 to 9, as 482 mm'),
    (
        "18 \u215c in",
        METER,
        '"18 \u215c in" holds "\u215c"; write it with the digits 0 to 9, as 482 mm',
    ),
    ("5 KG", KILOGRAM, '"KG" is no unit; did you mean kg?'),
    ("12 lbs", KILOGRAM, '"lbs" is no unit; did you mean lb?'),
    ('18"', METER, '""" is no unit; did you mean in?'),
    ("90\u00b0", RADIAN, '"\u00b0" is no unit; did you mean deg?'),
    ("5 mmm", METER, '"mmm" is no unit; did you mean mm?'),
    ("3 kg m^2", KILOGRAM_METER_SQUARED, '"kg m^2" is no unit; did you mean kg m2?'),
    ("3 furlongs", METER, f'"furlongs" is no unit; {LENGTHS}'),
    ("3.1 s 3.0 s", SECOND, f'"3.1 s 3.0 s" is more than one quantity; {DESCENDING}'),
    ("3 s 3 s", SECOND, f'"3 s 3 s" is more than one quantity; {DESCENDING}'),
    ("4 oz 2 lb", KILOGRAM, f'"4 oz 2 lb" is more than one quantity; {DESCENDING}'),
    ("2.5 lb 4 oz", KILOGRAM, f'"2.5 lb 4 oz" is more than one quantity; {DESCENDING}'),
    ("2 lb -4 oz", KILOGRAM, f'"2 lb -4 oz" is more than one quantity; {DESCENDING}'),
    ("1/0 in", METER, '"1/0 in" divides by zero; write it as 482 mm'),
    ("", KILOGRAM, "there is no figure; write one, as 4.21 kg"),
    ("kg", KILOGRAM, '"kg" is no mass; write it as 4.21 kg'),
    ("heavy", KILOGRAM, '"heavy" is no mass; write it as 4.21 kg'),
    ("4.2.1 kg", KILOGRAM, '"4.2.1 kg" is no mass; write it as 4.21 kg'),
    ("\x1b[31m3 mm", METER, '"\\x1b[31m3 mm" is no length; write it as 482 mm'),
]


@pytest.mark.parametrize(("text", "unit", "message"), COMPLAINTS)
def test_a_text_that_is_no_quantity_is_told_what_to_write(
    text: str, unit: Unit, message: str
) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, unit)
    assert str(caught.value) == message
    assert caught.value.status == 2


@pytest.mark.parametrize("figure", ["9" * 5000, "0." + "1" * 5000, "1e" + "9" * 5000])
def test_a_figure_of_thousands_of_digits_is_refused_in_a_short_message(figure: str) -> None:
    with pytest.raises(QuantityError, match="has too many digits") as caught:
        parse(f"{figure} mm", METER)
    assert len(str(caught.value)) < 150


@pytest.mark.parametrize("text", ["0 mm", "-0 mm", "-0.0 mm"])
def test_nothing_is_never_negative(text: str) -> None:
    assert str(parse(text, METER)) == "0.0"


def test_a_bare_number_takes_the_unit_that_its_place_implies() -> None:
    assert parse_loose("487", METER, "mm") == 0.487
    assert parse_loose(" \u22123.5 ", METER, "mm") == -0.0035
    assert parse_loose("18 3/8", METER, "in") == 0.466725
    assert parse_loose("48.7 cm", METER, "mm") == 0.487
    assert parse_loose("3", SECOND, "s") == 3.0
    with pytest.raises(QuantityError, match=r"has a comma; write 3\.1"):
        parse_loose("3,1", SECOND, "s")


def _outcome(text: str, unit: Unit) -> object:
    """A value that a rig can have, or a message and what to write instead."""
    try:
        return abs(parse(text, unit)) <= 1e6
    except QuantityError as error:
        return error.message and error.hint


UNITS = st.sampled_from([
    KILOGRAM, METER, SECOND, RADIAN, NEWTON, NEWTON_METER, KILOGRAM_METER_SQUARED, RATIO,
])  # fmt: skip


@given(st.text(), UNITS)
def test_any_text_is_a_quantity_or_a_quantity_error_with_a_mend(text: str, unit: Unit) -> None:
    assert _outcome(text, unit)


ALMOST = st.lists(
    st.sampled_from(
        [
            "1",
            "2",
            ".",
            ",",
            "/",
            "-",
            "+",
            " ",
            "e",
            "kg",
            "g",
            "oz",
            "lb",
            "in",
            "ft",
            "mm",
            "0x",
            "m2",
        ]
    ),
    max_size=12,
).map("".join)


@given(ALMOST, UNITS)
def test_any_text_that_is_nearly_a_quantity_ends_in_one_or_in_a_mend(text: str, unit: Unit) -> None:
    assert _outcome(text, unit)


@given(st.decimals(min_value=-999, max_value=999, places=6), UNITS.filter(lambda u: u != RADIAN))
def test_a_decimal_in_the_si_unit_is_read_as_python_reads_it(figure: Decimal, unit: Unit) -> None:
    symbol = "%" if unit == RATIO else unit.si
    scale = 100 if unit == RATIO else 1
    assert parse(f"{figure} {symbol}", unit) == float(Fraction(figure) / scale)


@given(st.floats(min_value=-1e6, max_value=1e6).filter(lambda v: not 0 < abs(v) < 1e-30), UNITS)
def test_what_is_written_exactly_is_read_back_as_the_same_float(value: float, unit: Unit) -> None:
    for symbol in ("", *symbols_for(unit)):
        assert parse(exact(value, unit, symbol), unit) == value
