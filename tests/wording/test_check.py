"""What `check` says, as a person reads it and as a script does."""

from __future__ import annotations

import json
from typing import Any

import pytest
from wording.conftest import ENTRY, PIVOT, POST

from riglog.jobs.answers import Evidence, Value
from riglog.jobs.check_answers import CheckAnswer, CheckedReading, Disputed, Said, Weighed
from riglog.jobs.listing import Kept, Read
from riglog.records import Drop, HangsUpright, Reading, Weight
from riglog.wording import check

OTHER = "77aa0c1d" + "d" * 56
WHEN: dict[str, Any] = {"build": "a-cam", "on": "2026-03-14T09:10:00+01:00"}
DROP = Said("drop", 3.1, Value(3.0, 2.6, None), 0.2, Value(2.2, 2.0, 2.5), 6.26)
TRIM = Said("lean", 0.0, None, None, Value(0.01, -0.01, 0.03), -0.5)


def reading(
    noun: Reading, *said: Said, entry: str = ENTRY, wild: float | None = None, odd: bool = False,
    kept_out: tuple[str, ...] = (), version: str = "2",
) -> CheckedReading:  # fmt: skip
    kept = Kept(version, entry, "kim", "2026-03-14T09:11:00.000+01:00", forked=False)
    return CheckedReading(Read(kept, noun, PIVOT, 0.487), said, odd, wild, kept_out)


def answer(*found: CheckedReading) -> CheckAnswer:
    outstanding = [each for each in found if each.stands_out]
    return CheckAnswer(POST, PIVOT, found, outstanding, 3.1, Evidence(drops=2, readings=2))


GOOD = reading(HangsUpright(**WHEN), TRIM, version="1")
SLIP = reading(Drop(times=(3.1,), **WHEN), DROP, entry=OTHER, wild=0.97, odd=True)


def first(*found: CheckedReading) -> str:
    return check.say(answer(*found)).split("\n\n")[0].replace("\n", " ")


def test_what_stands_out_is_the_first_line_and_named_for_what_it_is() -> None:
    assert first(GOOD, SLIP).startswith(
        "Reading 77aa0c1d looks like a slip: 3.1 s at 487.0 mm, where 2.2 s (2.0 to 2.5) was to be"
        " expected. Look first at what was written down there"
    )
    odd = SLIP._replace(wild=None)
    assert first(odd).startswith("Reading 77aa0c1d stands out: 3.1 s")
    two = reading(Weight(mass=14.0, **WHEN), DROP, odd=True)
    assert " was to be expected. 3ab12f04 stands out too." in first(SLIP, two)


def test_a_quiet_log_is_said_to_be_quiet() -> None:
    assert first(GOOD) == "a-cam is quiet: its one reading is as was to be expected."
    assert first(GOOD, GOOD) == "a-cam is quiet: all its 2 readings are as was to be expected."
    assert check.say(answer()).startswith("a-cam has no readings yet: there is nothing to check.")


def test_where_it_should_have_tipped_over_it_says_so() -> None:
    over = DROP._replace(now=Value(None, 5.0, None))
    assert "3.1 s at 487.0 mm, where it was expected to tip over." in first(
        SLIP._replace(said=(over,))
    )


def test_each_reading_has_a_line_below_its_version_and_day() -> None:
    weight = Said("mass", 13.53, Value(13.5, 13.4, 13.6), 0.3, Value(13.51, 13.5, 13.52), 0.04)
    gust = reading(Drop(times=(3.1,), **WHEN), DROP, kept_out=("wind",))
    limp = reading(Drop(times=(3.1,), **WHEN))
    rows = check.say(
        answer(GOOD, SLIP, reading(Weight(mass=13.53, **WHEN), weight), gust, limp)
    ).split("\n\n")[1]
    assert rows.split("\n") == [
        "AT      MARK      LOGGED                  BEFORE    NOW   OFF  ENTRY",
        "@1, 2026-03-14, kim",
        "09:10  487.0  lean 0 deg                       -    0.6  -0.5  3ab12f04",
        "@2, 2026-03-14, kim",
        "09:10  487.0  drop 3.1 s       3.0 (2.6 or more)    2.2  +6.3  77aa0c1d slip",
        "09:10  487.0    13.53 kg  13.50 (13.40 to 13.60)  13.51  +0.0  3ab12f04",
        "09:10  487.0  drop 3.1 s       3.0 (2.6 or more)    2.2  +6.3  3ab12f04 wind",
        "09:10  487.0        drop                                       3ab12f04 unused",
    ]


def test_of_a_level_the_worse_of_lean_and_side_is_told_by_name_with_its_sign() -> None:
    low = Said("side", 0.0, None, None, Value(-0.05, -0.1, 0.0), 1.9)
    both = reading(HangsUpright(**WHEN), TRIM, low)
    page = check.say(answer(both))
    assert " side 0 deg " in page
    assert "side + right side low" in " ".join(page.split())
    weighed = Said("mass", 13.53, None, None, Value(13.51, 13.5, 13.52), 0.04)
    assert "nose down" not in check.say(answer(reading(Weight(mass=13.53, **WHEN), weighed)))


LENS = Disputed(
    "lens-35",
    [
        Weighed(2.24, 0.005, "kim", "2026-03-14T09:00:00Z", None, ENTRY),
        Weighed(2.31, 0.0231, "ada", "2026-03-15T09:00:00Z", "luggage scale", OTHER),
    ],
    2.275, 0.035, 9.9,
)  # fmt: skip


def test_weighings_that_disagree_come_first_where_the_readings_are_quiet() -> None:
    quiet = answer(GOOD)._replace(disputed=[LENS])
    assert check.say(quiet).split("\n\n")[:2] == [
        "The weighings of lens-35 do not agree: weigh again.",
        (
            "lens-35 counts as 2.27 kg, give or take 35 g, by\n"
            "- 2.24 kg, give or take 5 g, kim 2026-03-14 [3ab12f04]\n"
            "- 2.31 kg, give or take 23 g (luggage scale), ada 2026-03-15 [77aa0c1d]"
        ),
    ]
    told = check.tell(quiet)
    assert told["quiet"] is False
    (lens,) = told["disputed"]
    assert (lens["component"], lens["mass_kg"], lens["deviations"]) == ("lens-35", 2.275, 9.9)
    assert lens["weighings"][1] == {
        "mass_kg": 2.31, "mass_sd_kg": 0.0231, "author": "ada", "at": "2026-03-15T09:00:00Z",
        "by": "luggage scale", "entry": OTHER,
    }  # fmt: skip
    assert first(SLIP, GOOD).startswith("Reading 77aa0c1d")


def test_a_script_finds_every_figure_with_its_unit() -> None:
    told = json.loads(json.dumps(check.tell(answer(GOOD, SLIP))))
    assert (told["quiet"], told["outstanding"], told["limit_deviations"]) == (False, [OTHER], 3.1)
    slip = told["readings"][1]
    assert {key: slip[key] for key in ("entry", "version", "kind", "stands_out")} == {
        "entry": OTHER, "version": 2, "kind": "drop", "stands_out": True,
    }  # fmt: skip
    assert slip["slip_probability"] == 0.97
    assert slip["pivot_mm"] == 487.0
    assert slip["said"] == [
        {
            "what": "drop",
            "drop_s": 3.1,
            "before": {"drop_s": {"value": 3.0, "low": 2.6, "high": None}, "deviations": 0.2},
            "now": {"drop_s": {"value": 2.2, "low": 2.0, "high": 2.5}, "deviations": 6.26},
        }
    ]
    trim = told["readings"][0]["said"][0]
    assert trim["before"] is None
    assert trim["now"]["lean_deg"]["value"] == pytest.approx(0.573, abs=1e-3)
