from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.answers import Value, Warned
from riglog.wording import say, tell

if TYPE_CHECKING:
    from riglog.jobs.neutral_answers import NeutralAnswer


def test_two_marks_give_a_third_and_a_safe_place_to_start(neutral: NeutralAnswer) -> None:
    assert (
        say(neutral)
        == """\
For 5 s set the pivot to 482.6 (481.7 to 483.4), start at 484.

marks               3.0 s at 487, 1.8 s at 495 mm
neutral             481.0 mm (480.2 to 481.9)
radius of gyration  340.0 mm (310.0 to 372.0)

Start at 484.0 mm, where it is surely bottom heavy. Expected there: 3.9 s (3.2
or more). Drop it once, then ask again with that mark added:
  riglog neutral 487mm=3 495mm=1.8 484mm=SECONDS --want 5s"""
    )


def test_marks_too_close_to_tell_say_so_before_any_figure(neutral: NeutralAnswer) -> None:
    text = say(neutral._replace(warnings=[Warned("marks_too_close")]))
    assert text.split("\n\n")[1] == (
        "Mind:\n- The marks are too close together to tell: drop it at one more, 8 to 10 mm\n"
        "  away."
    )


def test_without_a_wanted_time_there_is_neutral_alone(neutral: NeutralAnswer) -> None:
    answer = neutral._replace(wanted_s=None, mark_m=None, first_m=None, first_drop_s=None)
    assert say(answer).splitlines()[0] == "Neutral is at 481.0 (480.2 to 481.9)."
    assert "riglog neutral" not in say(answer)
    assert tell(answer)["mark_mm"] is None
    assert tell(answer)["first"] is None


def test_marks_that_tell_nothing_give_no_figure(neutral: NeutralAnswer) -> None:
    nothing = Value(None, None, None)
    answer = neutral._replace(neutral_m=nothing, gyration_m=nothing, mark_m=None, first_m=None)
    assert say(answer).splitlines()[0] == "These marks do not tell where neutral is."
    assert "\nneutral             unknown\n" in say(answer)


def test_marks_written_in_inches_are_answered_in_inches(neutral: NeutralAnswer) -> None:
    inch = 0.0254
    marks_m, first_m = (19.1875 * inch, 19.5 * inch), 19.06 * inch
    text = say(neutral._replace(unit="in", marks_m=marks_m, first_m=first_m))
    assert text.splitlines()[0] == (
        "For 5 s set the pivot to 19.00 (18.96 to 19.03), start at 19.06."
    )
    assert "marks               3.0 s at 19.19, 1.8 s at 19.5 in\n" in text
    assert "riglog neutral 19.1875in=3 19.5in=1.8 19.06in=SECONDS --want 5s" in text


def test_a_script_finds_every_figure_of_neutral(neutral: NeutralAnswer) -> None:
    assert tell(neutral) == {
        "neutral_mm": {"value": 481.0, "low": 480.2, "high": 481.9},
        "gyration_mm": {"value": 340.0, "low": 310.0, "high": 372.0},
        "mark_mm": {"value": 0.4826 * 1000, "low": 0.4817 * 1000, "high": 483.4},
        "wanted_s": 5.0,
        "guides_lean_deg": 0.0,
        "first": {"pivot_mm": 484.0, "drop_s": 3.9, "drop_low_s": 3.2, "drop_high_s": None},
        "marks": [{"pivot_mm": 487.0, "drop_s": 3.0}, {"pivot_mm": 495.0, "drop_s": 1.8}],
        "warnings": [],
    }
