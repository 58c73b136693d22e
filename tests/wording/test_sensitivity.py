from __future__ import annotations

from math import radians

import pytest

from riglog.jobs.answers import Evidence, Named
from riglog.jobs.sensitivity_answers import SensitivityAnswer, Shift
from riglog.records import Adjuster
from riglog.wording import say, tell

PIVOT = Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005)
STAGE = Adjuster(id="stage-fore-aft", axis="x", travel=(-0.08, 0.08))


@pytest.fixture
def answer() -> SensitivityAnswer:
    def shift(what: str, name: str, lean: float, pivot: float, slide: float) -> Shift:
        return Shift(what, name, "", 0.1, radians(lean), False, pivot, slide)  # noqa: FBT003 # a row

    return SensitivityAnswer(
        named=Named("a-cam", 2, "3ab12f04" + "c" * 56, "post", "high"),
        drop_s=3.0,
        lean_now_rad=0.0,
        sets="pivot",
        scale=PIVOT,
        slide_name="stage-fore-aft",
        slide=STAGE,
        shifts=[
            shift("place", "lens-front", 27, 0.00202, -0.0028),
            shift("place", "base", 0.2, -0.00394, 0.00001),
            shift("off", "card", -4, -0.0014, 0.0008),
            Shift("swap", "brick", "block-battery", 0.5, radians(9), True, -0.0213, 0.013),  # noqa: FBT003 # a row
        ],
        evidence=Evidence(drops=3, readings=5),
    )


def test_trim_first_is_said_first(answer: SensitivityAnswer) -> None:
    assert (
        say(answer)
        == """\
100 g in front of the lens: trim first, it would hang 27 deg, nose down; then
gimbal up 2.0.

a-cam about 3.0 s. LEAN is how it hangs if nobody trims it again; the moves
bring it back.

                            g         LEAN  stage, mm     gimbal, mm
in front of the lens     +100  27 deg down  back 2.8      up 2.0
on the base              +100        0 deg  stays         down 3.9
card off                 +100     4 deg up  forward 0.8   down 1.4
brick for block-battery  +500   turns over  forward 13.0  down 21.3

Rests on 3 drop tests and 2 other readings."""
    )


def test_in_low_mode_up_is_the_other_way_on_the_rig(answer: SensitivityAnswer) -> None:
    low = answer._replace(named=answer.named._replace(mode="low"))
    assert "then gimbal down 2.0" in " ".join(say(low).split())


def test_what_turns_over_is_held_first(answer: SensitivityAnswer) -> None:
    first = answer.shifts[0]._replace(turns_over=True)
    page = say(answer._replace(shifts=[first, *answer.shifts[1:]]))
    assert page.startswith("100 g in front of the lens: hold it, it would turn over; trim first")


def test_nothing_listed_is_said_so(answer: SensitivityAnswer) -> None:
    page = say(answer._replace(shifts=[], slide=None, slide_name=None))
    assert page.startswith("a-cam: no camera, lens or battery is listed")


def test_json_has_the_moves_along_the_rigs_own_axes(answer: SensitivityAnswer) -> None:
    first, *_, last = tell(answer)["shifts"]
    assert first["pivot_mm"] == pytest.approx(2.02)
    assert first["slide_mm"] == pytest.approx(-2.8)
    assert (last["old"], last["turns_over"], last["mass_g"]) == ("block-battery", True, 500.0)
