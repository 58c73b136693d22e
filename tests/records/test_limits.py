"""Which values a field can hold."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from noun_strategies import tensors

from riglog.records.limits import (
    HALF_TURN,
    NOT_NEGATIVE,
    POSITIVE,
    Ascending,
    AtLeastOne,
    InertiaTensor,
    Limit,
    is_id,
)


@pytest.mark.parametrize("limit", [POSITIVE, NOT_NEGATIVE, HALF_TURN, Ascending(), AtLeastOne()])
def test_a_limit_is_known_by_what_it_can_tell(limit: object) -> None:
    assert isinstance(limit, Limit)


@pytest.mark.parametrize(
    ("value", "what"),
    [(1e-9, None), (4.2, None), (0.0, "is not more than zero"), (-1.0, "is not more than zero"),
     (1e-12, "is next to nothing"), (math.nan, "is not more than zero")],
)  # fmt: skip
def test_a_mass_a_size_a_time_or_a_step_is_more_than_nothing(
    value: float, what: str | None
) -> None:
    fault = POSITIVE.fault(value)
    assert (fault and fault[0]) == what


def test_a_spread_may_be_nothing_but_not_less() -> None:
    assert NOT_NEGATIVE.fault(0.0) is None
    assert NOT_NEGATIVE.fault(-1e-9) == ("is less than zero", "write zero or more")
    assert NOT_NEGATIVE.fault(math.nan) is not None


def test_an_angle_of_release_lies_above_nothing_and_up_to_half_a_turn() -> None:
    assert HALF_TURN.fault(math.pi) is None
    assert HALF_TURN.fault(0.0) is not None
    assert HALF_TURN.fault(3.15) is not None


def test_a_travel_rises() -> None:
    assert Ascending().fault((0.0, 0.1)) is None
    assert Ascending().fault((0.1, 0.1)) is not None
    assert Ascending().fault((0.2, 0.1)) is not None


@given(tensors())
def test_any_spread_of_masses_has_a_possible_tensor(tensor: tuple[float, ...]) -> None:
    assert InertiaTensor().fault(tensor) is None


@pytest.mark.parametrize(
    "tensor",
    [
        (1.0, 1.0, 2.0, 0.0, 0.0, 0.0),  # a thin plate: the two moments in it sum to the third
        (1.0, 2.0, 3.0000001, 0.0, 0.0, 0.0),  # rounded on a sheet
        (0.0200, 0.0301, 0.0299, 0.001, -0.002, 0.0005),
    ],
)
def test_tensors_as_sheets_give_them_are_possible(tensor: tuple[float, ...]) -> None:
    assert InertiaTensor().fault(tensor) is None


@pytest.mark.parametrize(
    "tensor",
    [
        (1.0, 1.0, 3.0, 0.0, 0.0, 0.0),  # one moment exceeds the sum of the others
        (1.0, 1.0, 1.0, 0.9, 0.9, -0.9),  # a negative eigenvalue
        (1.0, 1.0, 1.0, 1.5, 0.0, 0.0),  # a product larger than the moments
        (0.0, 1.0, 1.0, 0.0, 0.0, 0.0),
        (1.0, 1.0, -1.0, 0.0, 0.0, 0.0),
    ],
)
def test_tensors_of_no_solid_thing_are_refused(tensor: tuple[float, ...]) -> None:
    assert InertiaTensor().fault(tensor) is not None


@pytest.mark.parametrize("text", ["a", "lens-35", "0123", "x" * 64])
def test_ids_are_small_letters_digits_and_single_hyphens(text: str) -> None:
    assert is_id(text)


@pytest.mark.parametrize(
    "text", ["", "A", "a b", "-a", "a-", "a--b", "a_b", "a.b", "\u00e4", "\u0663", "a\n", "x" * 65]
)
def test_anything_else_is_no_id(text: str) -> None:
    assert not is_id(text)


@given(st.text())
def test_an_id_is_safe_as_a_name_of_a_file(text: str) -> None:
    assert not is_id(text) or (text.isascii() and not set(text) & set("./\\: \0"))
