from __future__ import annotations

from math import radians

import pytest

from riglog.jobs.answers import Evidence, Named, Value
from riglog.jobs.sensitivity_answers import SensitivityAnswer, Shift
from riglog.records import Adjuster
from riglog.wording import say, tell

PIVOT = Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005)
STAGE = Adjuster(id="stage-fore-aft", axis="x", travel=(-0.08, 0.08))


def about(value: float, sd: float) -> Value:
    return Value(value, value - 2 * sd, value + 2 * sd)


@pytest.fixture
def answer() -> SensitivityAnswer:
    def shift(what: str, name: str, lean: float, pivot: float, slide: float) -> Shift:
        leans, moves = about(radians(lean), radians(1.2)), (about(pivot, 2e-6), about(slide, 4e-5))
        return Shift(what, name, "", 0.1, leans, False, *moves)  # noqa: FBT003 # a row

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
            Shift(
                "swap",
                "brick",
                "block-battery",
                0.5,
                Value(radians(9), None, None),
                turns_over=True,
                lift_m=about(-0.0213, 5e-3),
                slide_m=about(0.013, 8e-3),
            ),
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
bring it back. In brackets: between what it lies (95 %); without them it is sure
to its last place.

                            g         LEAN  stage, mm       gimbal, mm
in front of the lens     +100  27 deg down  back 2.8        up 2.0
                                (25 to 29)  (2.7 to 2.9)
on the base              +100        0 deg  stays           down 3.9
                                 (-2 to 3)  (-0.1 to 0.1)
card off                 +100     4 deg up  forward 0.8     down 1.4
                                  (2 to 6)  (0.7 to 0.9)
brick for block-battery  +500   turns over  forward 13.0    down 21.3
                                            (-3.0 to 29.0)  (11.3 to 31.3)

Rests on 3 drop tests and 2 other readings."""
    )


def test_in_low_mode_up_is_the_other_way_on_the_rig(answer: SensitivityAnswer) -> None:
    low = answer._replace(named=answer.named._replace(mode="low"))
    assert "then gimbal down 2.0" in " ".join(say(low).split())


def test_what_turns_over_is_held_first(answer: SensitivityAnswer) -> None:
    first = answer.shifts[0]._replace(turns_over=True)
    page = say(answer._replace(shifts=[first, *answer.shifts[1:]]))
    assert page.startswith("100 g in front of the lens: hold it, it would turn over; trim first")


def test_a_lean_that_may_turn_over_has_no_end_there(answer: SensitivityAnswer) -> None:
    lean = Value(radians(70), radians(58), None)
    page = say(answer._replace(shifts=[answer.shifts[0]._replace(lean_rad=lean)]))
    assert "(58 to over)" in page
    lean = Value(radians(70), None, None)
    page = say(answer._replace(shifts=[answer.shifts[0]._replace(lean_rad=lean)]))
    assert "(may turn over)" in page


def test_figures_that_are_sure_to_their_last_place_need_no_brackets(
    answer: SensitivityAnswer,
) -> None:
    sure = answer.shifts[0]._replace(
        lean_rad=about(radians(27), 1e-4), slide_m=about(-0.0028, 1e-6)
    )
    page = say(answer._replace(shifts=[sure]))
    assert "Every figure is sure to its last place (95 %)." in page
    assert page.count("(") == 1


def test_nothing_listed_is_said_so(answer: SensitivityAnswer) -> None:
    page = say(answer._replace(shifts=[], slide=None, slide_name=None))
    assert page.startswith("a-cam: no camera, lens or battery is listed")


def test_json_has_the_moves_along_the_rigs_own_axes(answer: SensitivityAnswer) -> None:
    first, *_, last = tell(answer)["shifts"]
    assert first["pivot_mm"] == pytest.approx(2.02)
    assert first["slide_mm"] == pytest.approx(-2.8)
    assert first["lean_low_deg"] < first["lean_deg"] < first["lean_high_deg"]
    assert first["slide_low_mm"] == pytest.approx(-2.88)
    assert first["slide_high_mm"] == pytest.approx(-2.72)
    assert (last["lean_low_deg"], last["lean_high_deg"]) == (None, None)
    assert (last["old"], last["turns_over"], last["mass_g"]) == ("block-battery", True, 500.0)
