"""What is asked of a shot: words as figures, and words that make none."""

from __future__ import annotations

from math import pi, radians

import pytest

from riglog.errors import CallError
from riglog.jobs.shot_question import ShotQuestion, understood


def test_words_of_a_shot_are_read_with_their_units_or_those_that_are_meant() -> None:
    asked = understood(
        ShotQuestion(from_="80deg", to="0", over="6", grip="12in", walk="5 km/h", accel="1.5m/s2")
    )
    assert asked.from_rad == pytest.approx(radians(80))
    assert (asked.to_rad, asked.over_s, asked.accel_m_s2) == (0, 6, 1.5)
    assert asked.grip_m == pytest.approx(12 * 0.0254)
    assert asked.walk_m_s == pytest.approx(5 / 3.6)


def test_a_hand_holds_the_further_end_of_a_move_and_no_more_than_horizontal() -> None:
    move = ShotQuestion(from_="-20deg", to="60deg", over="4s")
    assert understood(move).held_rad == pytest.approx(radians(60))
    assert understood(move._replace(to="120deg")).held_rad == pytest.approx(pi / 2)


def test_a_grip_is_in_the_unit_of_the_rigs_scale_and_a_round_figure_of_it() -> None:
    assert understood(ShotQuestion(), "in").grip_m == pytest.approx(10 * 0.0254)
    assert understood(ShotQuestion(grip="12"), "in").grip_m == pytest.approx(12 * 0.0254)
    assert understood(ShotQuestion()).grip_m == pytest.approx(0.25)
    with pytest.raises(CallError, match=r"it is more than 0 and at most 2 m"):
        understood(ShotQuestion(grip="90"), "in")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"from_": "80deg"}, "a move needs all three"),
        ({"from_": "80deg", "to": "80deg", "over": "3s"}, "a move has two angles"),
        ({"from_": "200deg", "to": "0deg", "over": "3s"}, '"200deg" is out of range'),
        ({"walk": "0m/s"}, '"0m/s" is out of range'),
        ({"walk": "3 kg"}, "a mass"),
        ({"for_": "3s"}, "--for says how long what holds"),
        ({"grip": "-1mm"}, '"-1mm" is out of range'),
    ],
)
def test_words_that_make_no_shot_are_refused(change: dict[str, str], says: str) -> None:
    with pytest.raises(CallError) as refused:
        understood(ShotQuestion()._replace(**change))
    assert says in refused.value.message
