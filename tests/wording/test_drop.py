from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from riglog.jobs.answers import Evidence, NextRung, Value, Warned
from riglog.jobs.drop_answers import Nudge
from riglog.wording import say, tell

if TYPE_CHECKING:
    from riglog.jobs.drop_answers import DropAnswer

NOTHING = Value(None, None, None)


def first_line(answer: DropAnswer) -> str:
    return say(answer).splitlines()[0]


def flat(answer: DropAnswer) -> str:
    return " ".join(say(answer).split())


@pytest.fixture
def first_rung(drop: DropAnswer) -> DropAnswer:
    """One drop on a rig that nobody has listed anything of."""
    return drop._replace(
        started=True,
        measured_s=2.1,
        times_s=(2.1,),
        scatter_s=None,
        predicted_s=NOTHING,
        surprise=None,
        move_m=-0.0048,
        move=Value(-0.0048, -0.0095, -0.0011),
        to_m=0.4822,
        set_m=0.4855,
        toward="down",
        at_target_s=Value(2.3, 2.1, 2.8),
        careful=True,
        evidence=Evidence(drops=1, readings=1, unlisted=True),
        cautions=("unknown-rig", "drop-test"),
        warnings=(),
    )


def test_a_drop_test_reads_from_the_fine_move_to_what_would_be_known_better(
    drop: DropAnswer,
) -> None:
    assert (
        say(drop)
        == """\
Gimbal up 1.5, to 488.5: then 3.9 s becomes 3.0 s.

a-cam at 487.0 mm: 3.9 s, the mean of 3 drops, scatter 0.1 s. Recorded as
3ab12f04.
Expected: 3.0 s (2.7 to 3.5); chance does that about once in 500 drops.

Mind (the maker's instructions, ratings and local rules come first):
- Not what was expected (3.0 s; off by 3.1 standard deviations): look for a part
  missing, moved, exchanged or wrongly weighed, and read the mark again.
- Never open the gimbal clamp under load: take the weight off it first.

Raise the gimbal on the post, towards the camera; then trim it again. 3.0 s lies
at 488.2 to 488.9 mm (95 %). At 488.5 mm expect 3.0 s (2.9 to 3.2).

At 3.0 s, 255 g more at the camera would make it neutral.
Rests on 4 drop tests.
To know more, time drops of a-cam at a second mark, 8 to 10 mm away: 1.9 mm
either way becomes 0.9 mm."""
    )


def test_one_drop_on_an_empty_library_says_which_way_and_about_how_far(
    first_rung: DropAnswer,
) -> None:
    assert (
        say(first_rung)
        == """\
Gimbal down about 1.5, to 485.5, then drop again.

a-cam is new: a post rig with nothing listed on it yet.
a-cam at 487.0 mm: 2.1 s, one drop. Recorded as 3ab12f04.

Mind (the maker's instructions, ratings and local rules come first):
- Nobody has timed this rig: let it go from 30 degrees first and see that it
  falls upright.
- Drop test: plate lock and safety stop closed, stand rated for it and weighted,
  swing circle clear, a second person's hand under the falling end. Never while
  it is worn.

Lower the gimbal on the post, away from the camera. That is part of the way
only, to a mark that is surely bottom heavy. At 485.5 mm expect 2.3 s (2.1 to
2.8). 3.0 s lies at 477.5 to 485.9 mm (95 %). Trim it again, and drop it once
more:
  riglog drop a-cam --mark 485.5mm SECONDS... --want 3s

At 2.3 s, 255 g more at the camera would make it neutral.
Rests on 1 drop test. Taken for granted: the usual weight and size for all that
nobody listed.
To know more, time drops of a-cam at a second mark, 8 to 10 mm away: 1.9 mm
either way becomes 0.9 mm."""
    )


def test_a_rig_that_fits_is_left_alone(drop: DropAnswer) -> None:
    answer = drop._replace(
        measured_s=3.0, move_m=0.0001, move=Value(0.0001, -0.0001, 0.0003), set_m=0.487,
        toward="none", warnings=(), cautions=(),
    )  # fmt: skip
    assert first_line(answer) == "That is it: 3.0 s, leave the gimbal at 487."
    assert "\n3.0 s lies at 486.9 to 487.3 mm (95 %).\n" in say(answer)
    assert "At 3.0 s, 255 g more" in say(answer)
    assert "Raise" not in say(answer)
    assert "Mind" not in say(answer)


def test_a_rig_that_fits_as_nearly_as_a_step_allows_says_what_was_wanted(
    drop: DropAnswer,
) -> None:
    answer = drop._replace(measured_s=3.1, move_m=-0.0002, set_m=0.487, toward="none")
    assert first_line(answer) == "That is it: 3.1 s (3.0 s wanted), leave the gimbal at 487."


def test_a_careful_move_of_nothing_asks_for_another_drop(first_rung: DropAnswer) -> None:
    answer = first_rung._replace(set_m=0.487)
    assert first_line(answer) == "Leave the gimbal at 487 and drop again."
    assert "Lower the gimbal" not in flat(answer)
    assert "--mark 487mm" in flat(answer)


def test_a_pivot_at_the_end_of_its_travel_is_not_said_to_fit(drop: DropAnswer) -> None:
    answer = drop._replace(set_m=0.487, warnings=[Warned("beyond_travel", "pivot", 0.0015)])
    assert first_line(answer) == "Leave the gimbal at 487."
    assert "go 1.5 mm past the end of the travel." in flat(answer)
    assert "At 3.9 s, 255 g more" in flat(answer)


def test_bounds_of_a_move_that_has_no_way_are_not_told(drop: DropAnswer) -> None:
    answer = drop._replace(mark_m=None, stands_m=None, to_m=None, set_m=None, move_m=0.0,
                           move=Value(0.0, -0.0003, 0.0019), toward="")  # fmt: skip
    assert "(95 %)" not in flat(answer)


def test_a_move_without_a_mark_is_told_as_a_distance(drop: DropAnswer) -> None:
    answer = drop._replace(mark_m=None, stands_m=None, to_m=None, set_m=None, move_m=-0.003,
        move=Value(-0.003, -0.007, 0.001), toward="down", measured_s=2.1,
    )  # fmt: skip
    assert first_line(answer) == "Gimbal down 3.0: then 2.1 s becomes 3.0 s."
    assert "3.0 s lies 1.0 mm up to 7.0 mm down from where it stands (95 %)." in flat(answer)
    assert "After the move expect 3.0 s (2.9 to 3.2)." in flat(answer)
    assert flat(answer).count("a-cam: 3.") + flat(answer).count("a-cam: 2.1 s") == 1


def test_the_line_said_aloud_promises_what_the_settable_mark_gives(drop: DropAnswer) -> None:
    answer = drop._replace(at_target_s=Value(2.9, 2.7, 3.1))
    assert first_line(answer) == "Gimbal up 1.5, to 488.5: then 3.9 s becomes 2.9 s."


def test_without_a_wanted_time_a_drop_says_what_a_little_up_or_down_does(
    drop: DropAnswer,
) -> None:
    answer = drop._replace(
        wanted_s=None,
        move_m=None,
        move=None,
        to_m=None,
        set_m=None,
        toward="none",
        at_target_s=None,
        nudge=Nudge(0.001, 3.3, None),
    )
    assert first_line(answer) == "Recorded: 3.9 s at 487."
    assert "\nGimbal 1.0 mm up: 3.3 s; 1.0 mm down: it turns over.\n" in say(answer)
    assert "At 3.9 s, 255 g more at the camera would make it neutral." in say(answer)
    assert tell(answer)["nudge"] == {"by_mm": 1.0, "up_s": 3.3, "down_s": None}
    assert tell(answer)["move_mm"] is None


@pytest.mark.parametrize(
    ("deviations", "words"),
    [
        (-1.9, "nothing unusual"),
        (2.0, "chance does that about once in 20 drops"),  # 22: normal tables, two-sided
        (2.5758, "chance does that about once in 100 drops"),
        (-3.2905, "chance does that about once in 1000 drops"),
        (5.0, "chance does that less than once in 10000 drops"),
    ],
)
def test_what_is_off_is_told_as_how_rarely_chance_does_it(
    drop: DropAnswer, deviations: float, words: str
) -> None:
    assert f"Expected: 3.0 s (2.7 to 3.5); {words}." in flat(drop._replace(surprise=deviations))


def test_a_rig_expected_to_turn_over_is_told_so(drop: DropAnswer) -> None:
    answer = drop._replace(predicted_s=Value(None, 6.0, None), surprise=None)
    assert "Expected: no drop, it turns over." in flat(answer)


def test_a_known_rig_of_which_nothing_was_expected_says_so(drop: DropAnswer) -> None:
    answer = drop._replace(predicted_s=NOTHING, surprise=None)
    assert "Nothing was known to expect." in flat(answer)


def test_in_low_mode_raising_leads_away_from_the_camera(drop: DropAnswer) -> None:
    answer = drop._replace(named=drop.named._replace(mode="low"))
    assert "Raise the gimbal on the post, away from the camera;" in flat(answer)
    assert "255 g less at the camera would make it neutral" in flat(answer)


def test_a_script_finds_every_figure_of_a_drop_test(drop: DropAnswer) -> None:
    assert tell(drop) == {
        "build": "a-cam",
        "version": 2,
        "entry": drop.named.entry,
        "recorded": drop.recorded,
        "started": False,
        "mark_mm": 487.0,
        "measured": {
            "drop_s": 3.9,
            "times_s": [3.8, 4.0, 3.9],
            "scatter_s": 0.1,
            "method": "stopwatch",
            "fps": None,
            "timed_to": "upright",
            "timing_sd_s": 0.1,
        },
        "predicted": {"drop_s": {"value": 3.0, "low": 2.7, "high": 3.5}, "deviations": 3.1},
        "wanted_s": 3.0,
        "move_mm": 1.51,
        "adjuster": "pivot",
        "move": {"pivot_mm": {"value": 1.51, "low": 1.2, "high": 1.9}},
        "to_mm": 488.51,
        "set_mm": 488.5,
        "toward": "up",
        "careful": False,
        "with_it": [],
        "at_set": {"drop_s": {"value": 3.0, "low": 2.9, "high": 3.2}},
        "off_trim": None,
        "nudge": None,
        "margin_g": 255.0,
        "depth_mm": 4.5,
        "vernier": None,
        "cautions": ["clamp-under-load"],
        "evidence": {
            "drops": 4,
            "readings": 4,
            "unweighed": [],
            "unlisted": False,
            "unset": [],
            "doubted": [],
            "kept_out": [],
            "disputed": [],
            "on_head": False,
        },
        "next": {"do": "two-marks", "what": "a-cam", "now_mm": 1.9, "then_mm": 0.9},
        "warnings": [
            {
                "code": "unlikely_drop",
                "message": "Not what was expected (3.0 s; off by 3.1 standard deviations): look"
                " for a part missing, moved, exchanged or wrongly weighed, and read the mark"
                " again.",
            }
        ],
    }


def test_the_first_rung_names_the_one_above_it(first_rung: DropAnswer) -> None:
    answer = first_rung._replace(next_rung=NextRung("two-marks", "a-cam", 0.0042, 0.0011))
    assert (
        "To know more, time drops of a-cam at a second mark, 8 to 10 mm away: 4.2 mm either way"
        " becomes 1.1 mm." in flat(answer)
    )
