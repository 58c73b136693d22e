"""How figures are shown."""

import math

import pytest

from riglog.units import (
    KILOGRAM,
    METER,
    RADIAN,
    Unit,
    convert,
    decimals_for,
    exact,
    show,
    show_at_step,
)


@pytest.mark.parametrize(
    ("value", "symbol", "decimals", "text"),
    [
        (0.4871, "mm", 1, "487.1 mm"),
        (0.4871, "mm", 0, "487 mm"),
        (-0.0035, "mm", 1, "-3.5 mm"),
        (-0.00001, "mm", 0, "0 mm"),
        (-0.0, "mm", 1, "0.0 mm"),
        (4.21, "kg", 2, "4.21 kg"),
        (0.575, "g", 0, "575 g"),
        (3.04, "s", 1, "3.0 s"),
        (math.pi / 6, "deg", 1, "30.0 deg"),
        (0.6283185307179586, "rpm", 1, "6.0 rpm"),
        (0.0254, "in", 2, "1.00 in"),
    ],
)
def test_a_value_is_shown_at_its_decimals_and_never_as_minus_nothing(
    value: float, symbol: str, decimals: int, text: str
) -> None:
    assert show(value, symbol, decimals) == text


def test_a_move_has_its_sign_and_no_move_has_none() -> None:
    assert show(0.002, "mm", 1, signed=True) == "+2.0 mm"
    assert show(-0.002, "mm", 1, signed=True) == "-2.0 mm"
    assert show(0.00000001, "mm", 1, signed=True) == "0.0 mm"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_has_no_figure(value: float) -> None:
    with pytest.raises(ValueError, match="has no figure"):
        show(value, "mm")
    with pytest.raises(ValueError, match="is no quantity"):
        exact(value, METER)


@pytest.mark.parametrize(
    ("step", "symbol", "decimals"),
    [
        (0.001, "mm", 0),
        (0.0005, "mm", 1),
        (0.00025, "mm", 2),
        (0.005, "mm", 0),
        (0.00254, "in", 1),
        (0.0254 / 16, "in", 4),
        (0.001, "cm", 1),
    ],
)
def test_a_step_says_how_many_decimals_tell_settings_apart(
    step: float, symbol: str, decimals: int
) -> None:
    assert decimals_for(step, symbol) == decimals


@pytest.mark.parametrize(
    ("value", "symbol", "step", "text"),
    [
        (0.4875, "mm", 0.0005, "487.5 mm"),
        (0.466725, "in", 0.0254 / 16, "18 3/8 in"),
        (0.4572, "in", 0.0254 / 8, "18 in"),
        (-0.009525, "in", 0.0254 / 16, "-3/8 in"),
        (0.0, "in", 0.0254 / 16, "0 in"),
        (0.466725, "in", 0.000254, "18.38 in"),
        (0.125, "cm", 0.001, "12.5 cm"),
    ],
)
def test_a_setting_is_shown_as_its_scale_shows_it(
    value: float, symbol: str, step: float, text: str
) -> None:
    assert show_at_step(value, symbol, step) == text


@pytest.mark.parametrize(
    ("value", "unit", "symbol", "text"),
    [
        (0.482, METER, "", "482 mm"),
        (-0.001, METER, "", "-1 mm"),
        (0.466725, METER, "in", "18.375 in"),
        (4.21, KILOGRAM, "", "4.21 kg"),
        (0.95, KILOGRAM, "", "950 g"),
        (math.pi / 2, RADIAN, "", "90 deg"),
        (0.0, METER, "", "0 mm"),
        (0.1 + 0.2, METER, "", "300.00000000000004 mm"),
        (1e-12, METER, "", "1e-9 mm"),
    ],
)
def test_an_exact_text_is_the_shortest_that_reads_back(
    value: float, unit: Unit, symbol: str, text: str
) -> None:
    assert exact(value, unit, symbol) == text


def test_converting_gives_the_number_of_the_unit() -> None:
    assert convert(0.487, "mm") == 487.0
    assert convert(math.pi, "deg") == 180.0
