"""How far off trim it hangs, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from riglog.jobs.nose_answers import Bounds, Off, Slid
from riglog.records import Adjuster
from riglog.wording import nose, say, tell
from riglog.wording.terms import Terms

if TYPE_CHECKING:
    from riglog.jobs.drop_answers import DropAnswer

STAGE = Adjuster(id="stage-fore-aft", axis="x")
SLID = Slid("stage-fore-aft", STAGE, Bounds(-0.0016, -0.0027, -0.0004), "back")
OFF = Off(2.11, 2.35, Bounds(0.0008, 0.0002, 0.0013), SLID, first=False, lean_read=False)


@pytest.fixture
def terms(pivot: Adjuster) -> Terms:
    return Terms("post", "high", {"pivot": pivot})


def test_both_noses_say_how_far_and_what_the_stage_does(terms: Terms) -> None:
    assert nose.told(OFF, terms) == (
        "Nose up 2.11 s, nose down 2.35 s. The center of gravity lies 0.8 mm ahead of the pivot"
        " (0.2 to 1.3): stage back 2 (0.4 to 2.7 mm). A lean read where it hangs tells it three to"
        " five times better."
    )
    assert nose.told(OFF._replace(lean_read=True), terms).endswith("stage back 2 (0.4 to 2.7 mm).")
    assert nose.trim_first(OFF, terms) == ""
    assert nose.told(None, terms) == ""


def test_one_nose_asks_for_the_other(terms: Terms) -> None:
    behind = OFF._replace(
        up_s=None, forward_m=Bounds(-0.0008, -0.002, 0.0004), slide=None, lean_read=True
    )
    assert nose.told(behind, terms) == (
        "The center of gravity lies 0.8 mm behind the pivot (-0.4 to 2.0): move weight forward."
        " Drop it nose up too: half the difference tells it, and the mean is free of it."
    )


def test_far_off_trimming_is_called_out_first(drop: DropAnswer) -> None:
    far = drop._replace(off=OFF._replace(first=True))
    assert say(far).splitlines()[0] == "Trim first: stage back 2 (0.4 to 2.7 mm), then drop again."
    assert say(drop._replace(off=OFF)).splitlines()[0].startswith("Gimbal up")


def test_a_script_finds_the_trim(drop: DropAnswer) -> None:
    assert tell(drop._replace(off=OFF))["off_trim"] == {
        "up_s": 2.11,
        "down_s": 2.35,
        "forward_mm": {"value": 0.8, "low": 0.2, "high": 1.3},
        "adjuster": "stage-fore-aft",
        "move_mm": {"value": -1.6, "low": -2.7, "high": -0.4},
        "toward": "back",
        "first": False,
        "told": True,
        "apart": False,
    }
    assert tell(drop)["off_trim"] is None
