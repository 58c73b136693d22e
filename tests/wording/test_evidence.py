from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from riglog.jobs.answers import Evidence, Load, NextRung
from riglog.jobs.remembered_answers import Remembered
from riglog.records import Adjuster
from riglog.wording import evidence
from riglog.wording.terms import Terms

if TYPE_CHECKING:
    from typing import Literal


def terms(mode: Literal["high", "low"] = "high", unit: Literal["mm", "in"] = "mm") -> Terms:
    return Terms("post", mode, {"pivot": Adjuster(id="pivot", axis="z", unit=unit)})


@pytest.mark.parametrize(
    ("grounds", "words"),
    [
        (Evidence(0, 0), "Rests on no reading at all."),
        (Evidence(1, 1), "Rests on 1 drop test."),
        (Evidence(0, 1), "Rests on 1 other reading."),
        (Evidence(3, 5), "Rests on 3 drop tests and 2 other readings."),
        (
            Evidence(1, 1, ("lens-75", "lens-35")),
            (
                "Rests on 1 drop test. Taken for granted: the usual weight of lens-75 and lens-35,"
                " never weighed."
            ),
        ),
        (
            Evidence(1, 1, ("a", "b", "c", "d", "e")),
            (
                "Rests on 1 drop test. Taken for granted: the usual weight of a, b, c and 2 more,"
                " never weighed."
            ),
        ),
        (
            Evidence(1, 1, unlisted=True, unset=("stage-side",), doubted=(("3ab12f04cc", 0.93),)),
            (
                "Rests on 1 drop test. Taken for granted: the usual weight and size for all that"
                " nobody listed; zero on the scale of stage-side, never set; a slip in reading"
                " 3ab12f04 (93 %)."
            ),
        ),
    ],
)
def test_one_line_says_what_an_answer_rests_on_and_what_it_took_for_granted(
    grounds: Evidence, words: str
) -> None:
    assert evidence.rests_on(grounds) == words


@pytest.mark.parametrize(
    ("do", "words"),
    [
        ("weigh", "weigh lens-75"),
        ("edge", "balance lens-75 on an edge, 20 seconds without a scale"),
        ("drop", "time a drop of lens-75"),
        ("two-marks", "time drops of lens-75 at a second mark, 8 to 10 mm away"),
    ],
)
def test_the_next_rung_says_what_it_would_bring(do: str, words: str) -> None:
    rung = NextRung(do, "lens-75", 0.0019, 0.0009)
    assert evidence.next_rung(rung, terms()) == (
        f"To know more, {words}: 1.9 mm either way becomes 0.9 mm."
    )


def test_what_was_kept_out_is_named_with_why() -> None:
    kept_out = [("3ab12f04" + "c" * 56, ("wind", "tether"))]
    assert evidence.rests_on(Evidence(drops=2, readings=2, kept_out=kept_out)) == (
        "Rests on 2 drop tests. Kept out of it: 3ab12f04 (wind and tether)."
    )


def test_weighings_that_disagree_are_taken_for_granted_in_the_middle() -> None:
    assert evidence.rests_on(Evidence(drops=2, readings=2, disputed=["lens-35"])) == (
        "Rests on 2 drop tests. Taken for granted: the middle of the weighings of lens-35, which"
        " disagree."
    )


def test_the_next_rung_is_told_in_the_rigs_own_unit() -> None:
    rung = NextRung("two-marks", "a-cam", 0.0019, 0.0009)
    assert evidence.next_rung(rung, terms(unit="in")) == (
        "To know more, time drops of a-cam at a second mark, 0.31 to 0.39 in away: 0.07 in"
        " either way becomes 0.04 in."
    )


def test_where_nothing_would_help_nothing_is_said() -> None:
    assert evidence.next_rung(None, terms()) == ""
    assert evidence.margin(None, 3.0, terms()) == ""
    assert evidence.loads([], terms()) == ""


def test_a_camera_that_hangs_below_is_neutral_with_less_on_it() -> None:
    assert evidence.margin(0.255, 3.0, terms("low")) == (
        "At 3.0 s, 255 g less at the camera would make it neutral."
    )


@pytest.mark.parametrize(
    ("load", "words"),
    [
        (Load("rig", 17.2, None, 24.0), ""),
        (Load("rig", 21.6, None, 24.0), "Load: rig 21.6 of 24.0 kg, near its rating."),
        (Load("gimbal", 17.2, None, 24.0), "Load: gimbal 17.2 of 24.0 kg."),
        (Load("arm", 8.0, 9.0, 20.0), "Load: arm 8.0 of 9.0 to 20.0 kg, less than it needs."),
        (
            Load("arm", 20.1, 9.0, 20.0),
            "Load: arm 20.1 of 9.0 to 20.0 kg, more than it is rated for.",
        ),
    ],
)
def test_a_load_is_shown_against_its_rating(load: Load, words: str) -> None:
    assert evidence.loads([load], terms()) == words


def test_on_a_rig_in_inches_loads_are_in_pounds() -> None:
    arm = Load("arm", 8.0, 9.0, 20.0)
    told = "Load: arm 17.6 of 19.8 to 44.1 lb, less than it needs."
    assert evidence.loads([arm], terms(unit="in")) == told


def test_what_was_once_set_is_told_with_the_mass_that_hung_there() -> None:
    six = Remembered("arm-lift", "6 turns", 17.6, "a-cam")
    assert (
        evidence.remembered([six], terms())
        == "At 17.6 kg you last had arm-lift at 6 turns (a-cam)."
    )
    assert evidence.remembered([], terms()) == ""
    assert evidence.worn(24.34, terms()) == "Carried in all: 24.3 kg."
    assert evidence.worn(None, terms()) == ""
    assert evidence.worn(24.34, terms(unit="in")) == "Carried in all: 53.7 lb."
