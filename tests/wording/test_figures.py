from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.jobs.answers import Value
from riglog.records import Adjuster
from riglog.units import METER, parse
from riglog.wording import figures

INCH = 0.0254


def scale(step_m: float, unit: str = "mm") -> Adjuster:
    return Adjuster(id="pivot", axis="z", step=step_m, unit=unit)


@pytest.mark.parametrize(
    ("value_m", "on", "shown", "spoken", "typed"),
    [
        (0.491, scale(0.0005), "491.0", "491", "491mm"),
        (0.4875, scale(0.0005), "487.5", "487.5", "487.5mm"),
        (0.009, scale(0.001), "9", "9", "9mm"),
        (-0.00001, scale(0.001), "0", "0", "0mm"),
        (0.48725, scale(0.00025), "487.25", "487.25", "487.25mm"),
        (0.1, scale(0.001), "100", "100", "100mm"),
        (0.487, scale(0.001, "cm"), "48.7", "48.7", "48.7cm"),
        (19.3125 * INCH, scale(INCH / 16, "in"), "19 5/16", "19 5/16", "19.3125in"),
        (-0.5 * INCH, scale(INCH / 2, "in"), "-1/2", "-1/2", "-0.5in"),
        (19.0 * INCH, scale(INCH / 64, "in"), "19", "19", "19in"),
        (19.35 * INCH, scale(INCH / 20, "in"), "19.35", "19.35", "19.35in"),
        (19.4 * INCH, scale(INCH / 10, "in"), "19.4", "19.4", "19.4in"),
        (0.4915, scale(0.001, "in"), "19.35", "19.35", "19.35in"),
    ],
)
def test_a_setting_is_shown_as_its_scale_can_be_set(
    value_m: float, on: Adjuster, shown: str, spoken: str, typed: str
) -> None:
    assert figures.reading(value_m, on) == shown
    assert figures.setting(value_m, on) == f"{shown} {on.unit}"
    assert figures.spoken(value_m, on) == spoken
    assert figures.typed(value_m, on) == typed


@given(
    st.integers(-2000, 2000),
    st.sampled_from(
        [(0.0005, "mm"), (0.001, "mm"), (0.001, "cm"), (INCH / 16, "in"), (INCH / 64, "in")]
    ),
)
def test_a_mark_typed_as_told_is_the_mark_that_was_meant(steps: int, on: tuple[float, str]) -> None:
    step_m, unit = on
    mark_m = steps * step_m
    typed = figures.typed(mark_m, scale(step_m, unit))
    assert math.isclose(parse(typed, METER), mark_m, rel_tol=1e-9, abs_tol=1e-12)


@pytest.mark.parametrize(
    ("low_m", "high_m", "unit", "shown"),
    [
        (0.4871, 0.49088, "mm", "487.1 to 490.9"),
        (0.4871, None, "mm", "487.1 or more"),
        (None, 0.4909, "mm", "490.9 or less"),
        (None, None, "mm", ""),
        (-0.00001, 0.001, "mm", "0.0 to 1.0"),
        (0.4871, 0.4909, "in", "19.18 to 19.33"),
        (0.4871, 0.4909, "cm", "48.71 to 49.09"),
    ],
)
def test_bounds_are_finer_than_a_setting_and_open_where_there_is_none(
    low_m: float | None, high_m: float | None, unit: str, shown: str
) -> None:
    assert figures.span(low_m, high_m, unit) == shown


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (Value(3.0, 2.8, 3.3), "3.0 s (2.8 to 3.3)"),
        (Value(3.0, 2.8, None), "3.0 s (2.8 or more)"),
        (Value(3.0, None, None), "3.0 s"),
        (Value(3.0, 2.98, 3.02), "3.00 s (2.98 to 3.02)"),
        (Value(None, 6.0, None), "no drop, it turns over"),
    ],
)
def test_a_drop_time_is_told_to_a_tenth_or_as_finely_as_it_is_known(
    value: Value, shown: str
) -> None:
    assert figures.drop_time(value) == shown


def test_angles_have_the_figures_that_matter() -> None:
    assert figures.degrees(math.radians(-38.2)) == "38 deg"
    assert figures.degrees(math.radians(1.62)) == "1.6 deg"
    assert figures.degrees(math.radians(9.96)) == "10 deg"
    assert figures.percent(0.934) == "93 %"


def test_nothing_is_certain() -> None:
    assert figures.percent(0.9999) == "99 %"
    assert figures.percent(0.0) == "1 %"


def test_a_figure_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="nan has no figure"):
        figures.seconds(math.nan)
