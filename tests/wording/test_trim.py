from __future__ import annotations

from math import pi, radians

import pytest

from riglog.jobs.answers import Evidence, Move, Named, Value, Warned
from riglog.jobs.swap_answers import FirstMark
from riglog.jobs.trim_answers import Inertia, Level, Panned, SpinAnswer, TrimAnswer
from riglog.records import Adjuster
from riglog.wording import say, tell

ENTRY = "3ab12f04" + "c" * 56
PIVOT = Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005)
STAGE = Adjuster(id="stage-fore-aft", axis="x", travel=(-0.08, 0.08))
BASE = Adjuster(id="base-fore-aft", axis="x", travel=(-0.06, 0.06))
POST = Named("a-cam", 2, ENTRY, "post", "high")
RPM = pi / 30


def angles(value: float, low: float, high: float) -> Value:
    return Value(radians(value), radians(low), radians(high))


@pytest.fixture
def trim() -> TrimAnswer:
    return TrimAnswer(
        named=POST,
        moves=[
            Move("pivot", PIVOT, 0.487, 0.4876, 0.4875, 0.4871, 0.4881, "up", free=True),
            Move("stage-fore-aft", STAGE, 0.012, -0.0062, -0.006, -0.012, 0.0, "back", free=True),
            Move("base-fore-aft", BASE, 0.0, 0.0349, 0.035, 0.02, 0.05, "forward", free=True),
        ],
        sets="pivot",
        now=Level(radians(1.2), 0.0, angles(-4, -5.25, -2.65), angles(0.1, -1, 1.2), 6.7 * RPM),
        then=Level(0.0, 0.0, angles(0.02, -1.2, 1.3), angles(0.1, -1, 1.2), 6.8 * RPM),
        off_m=(0.0, 0.0),
        tilt_counts=True,
        wanted_s=3.0,
        drop_now_s=Value(3.1, 2.9, 3.3),
        first=FirstMark("pivot", 0.488, Value(2.9, 2.7, 3.1), toward="up"),
        inertia=Inertia(1.7, 1.913, 0.25),
        inertia_then=Inertia(1.7, 1.9, 0.241),
        last=Inertia(1.66, 1.85, 0.23),
        last_version=1,
        panned=Panned(20 * RPM, radians(-4.4), 0.0, near=False),
        panned_then=Panned(20 * RPM, radians(0.1), 0.0, near=False),
        evidence=Evidence(drops=3, readings=5),
        cautions=("pan-test",),
    )


def test_a_page_to_trim_by(trim: TrimAnswer) -> None:
    assert (
        say(trim)
        == """\
Stage back 18, base forward 35, then trim again and drop again.

Now: it hangs 1.2 deg, nose down; in a fast pan the lens end is high, the back
low: the axis is tilted by -4.0 deg (-5.2 to -2.6). Critical pan rate 6.7 rpm.

in mm    from     to  move        between (95 %)
stage      12     -6  back 18     -12.0 to 0.0
base        0     35  forward 35  20.0 to 50.0
gimbal  487.0  487.5  up 0.5      487.1 to 488.1

Then:
1. Move the stage back, to -6 mm.
2. Move the base forward, to 35 mm.
3. Trim it again by the fine knobs, side to side first, until it hangs upright.
4. Drop it again: 3.1 s (2.9 to 3.3) where it stands.
5. For 3.0 s set the gimbal to 488.0 mm first, where it is surely bottom heavy:
   2.9 s (2.7 to 3.1) expected. Drop it once, then move as the answer says.
6. Pan it and look: it hangs upright; a fast pan stays level, the principal axis
   tilted by 0.0 deg (-1.2 to 1.3). Critical pan rate 6.8 rpm.

  riglog drop a-cam --mark 488mm --set stage-fore-aft=-6mm \\
    --set base-fore-aft=35mm SECONDS... --want 3s

Before you start (the maker's instructions, ratings and local rules come first):
- Pan test: let it spin slowly first, the circle clear and a hand near the post;
  no cable that winds up.

inertia, kg m2   now  then  version 1
pan             0.25  0.24       0.23
tilt            1.91  1.90       1.85
roll            1.70  1.70       1.66

In a pan at 20 rpm: 4.4 deg, nose up now, level then.
Rests on 3 drop tests and 2 other readings."""
    )


def test_near_the_critical_rate_no_figure_is_told(trim: TrimAnswer) -> None:
    near = Panned(6.5 * RPM, None, None, near=True)
    page = say(trim._replace(panned=near, panned_then=near))
    assert "In a pan at 6.5 rpm: near the critical rate" in page
    assert tell(trim._replace(panned=near, panned_then=near))["pan"] == {
        "rate_rpm": pytest.approx(6.5),
        "now": {"lean_deg": None, "side_deg": None},
        "then": {"lean_deg": None, "side_deg": None},
    }


def test_a_rig_that_needs_nothing_is_told_so(trim: TrimAnswer) -> None:
    kept = [
        Move(move.name, move.adjuster, move.from_m, move.from_m or 0.0, move.from_m or 0.0,
             None, None, "", free=False)
        for move in trim.moves
    ]  # fmt: skip
    page = say(trim._replace(moves=kept))
    assert page.startswith("a-cam is upright and level: nothing to move but the last fine trim.")
    assert "riglog drop a-cam --mark 487mm SECONDS... --want 3s" in page
    assert "is surely bottom heavy" not in page


def test_a_rig_of_which_the_tilt_is_not_known_is_to_be_spun(trim: TrimAnswer) -> None:
    unknown = Value(None, None, None)
    now, then = (
        each._replace(tilt_rad=unknown, tilt_side_rad=unknown) for each in (trim.now, trim.then)
    )
    page = say(trim._replace(now=now, then=then, warnings=(Warned("tilt_unlisted"),)))
    assert "Pan it and tell what the lens end did" in page
    assert "inertia" not in page
    assert "Not all that swings is listed" in page


def test_json_holds_what_a_script_needs(trim: TrimAnswer) -> None:
    found = tell(trim)
    assert found["now"]["tilt_deg"]["value"] == pytest.approx(-4)
    assert found["now"]["critical_rpm"] == pytest.approx(6.7)
    assert found["inertia_kg_m2"]["last"] == {"roll": 1.66, "tilt": 1.85, "pan": 0.23}
    assert [each["adjuster"] for each in found["settings"] if each["free"]] == [
        "pivot", "stage-fore-aft", "base-fore-aft",
    ]  # fmt: skip


def test_what_a_pan_told() -> None:
    answer = SpinAnswer(
        named=POST,
        pivot=PIVOT,
        recorded=ENTRY,
        lens_end="dips",
        rate_rad_s=26 * RPM,
        expected_rad=radians(-3),
        critical_rad_s=6.7 * RPM,
        tilt_before_rad=angles(-4, -6, -2),
        tilt_rad=angles(1.5, -0.5, 3.5),
        evidence=Evidence(drops=3, readings=4),
        warnings=(Warned("slow_pan", figure=5 * RPM, other=6.7 * RPM),),
    )
    assert (
        say(answer)
        == """\
In a fast pan the lens end is low, the back high: the axis is tilted by 1.5 deg
(-0.5 to 3.5).

a-cam: the lens end dips at 26 rpm. Recorded as 3ab12f04. Expected there:
3.0 deg, nose up.
Before: -4.0 deg (-6.0 to -2.0).

Mind:
- 5.0 rpm is below the critical pan rate of 6.7 rpm: gravity decided more than
  the axis; a faster pan tells more.

Rests on 3 drop tests and 1 other reading.
What to move:
  riglog trim a-cam"""
    )
    assert tell(answer)["rate_rpm"] == pytest.approx(26)
