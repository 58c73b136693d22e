"""Several measurements of one figure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.mechanics.together import together


def test_two_equal_measurements_are_known_better_by_the_root_of_two() -> None:
    found = together([1.118, 1.120], [0.002, 0.002])
    assert found.value == pytest.approx(1.119)
    assert found.sd == pytest.approx(0.002 / 2**0.5)
    assert found.birge == pytest.approx(0.5**0.5)


def test_measurements_that_contradict_each_other_are_known_no_better_than_they_agree() -> None:
    # Two values 10 sd apart: chi^2 = 50, one degree of freedom, so the factor is root 50.
    found = together([1.0, 1.01], [0.001, 0.001])
    assert found.birge == pytest.approx(50**0.5)
    assert found.sd == pytest.approx(0.005)


@given(st.lists(st.tuples(st.floats(-10, 10), st.floats(0.001, 1)), min_size=1, max_size=6))
def test_the_order_of_measurements_does_not_matter(told: list[tuple[float, float]]) -> None:
    values, sds = zip(*told, strict=True)
    backwards = together(values[::-1], sds[::-1])
    assert together(values, sds) == pytest.approx(backwards, rel=1e-9, abs=1e-9)
