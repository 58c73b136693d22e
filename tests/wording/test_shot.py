from __future__ import annotations

from math import radians

import pytest

from riglog.jobs.answers import Evidence, Named, Value
from riglog.jobs.lens_table_answers import Mark
from riglog.jobs.shot_answers import Limit, Shot, ShotAnswer, ShotRow, Why
from riglog.jobs.swap_answers import FirstMark
from riglog.records import Adjuster
from riglog.wording import say, tell

PIVOT = Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005)
STAGE = Adjuster(id="stage-fore-aft", axis="x", travel=(-0.08, 0.08))


def about(value: float, share: float) -> Value:
    return Value(value, value * (1 - share), value * (1 + share))


def row(drop_s: float, at_m: float, down_s: float | None, limit: Limit | None = None) -> ShotRow:
    return ShotRow(
        drop_s=drop_s,
        mark=Mark(at_m + 0.0001, at_m, at_m - 0.0009, at_m + 0.0009, at_m + 0.001, 0.0),
        force_n=about(6 / drop_s, 0.15),
        fall_s=about(0.96 * drop_s, 0.001),
        swing_rad=about(radians(16 / drop_s), 0.001),
        accel_rad=None,
        band_rad=about(radians(0.4 * drop_s), 1),
        margin_kg=about(2.25 / drop_s**2, 0.1),
        up_s=about(drop_s - 0.2, 0.005),
        down_s=Value(None, 9.0, None) if down_s is None else about(down_s, 0.1),
        lean_to_m=None,
        limit=limit,
    )


@pytest.fixture
def shot() -> ShotAnswer:
    return ShotAnswer(
        named=Named("a-cam", 2, "3ab12f04" + "c" * 56, "post", "high"),
        shot=Shot(radians(80), 0.25, 1.4, radians(80), 0.0, 3.0),
        sets="pivot",
        scale=PIVOT,
        stands_m=0.487,
        rows=[row(2.0, 0.492, 2.3), row(3.1, 0.487, 3.5), row(8.0, 0.483, None, Limit("step", 0))],
        wanted_s=3.1,
        chosen=1,
        why=Why("move", None),
        first=FirstMark("pivot", 0.488, Value(2.7, 2.4, 3.1), toward="up"),
        at_mark_s=Value(3.1, 2.7, None),
        lean_name=None,
        lean_scale=None,
        evidence=Evidence(drops=3, readings=5),
    )


def test_a_page_to_choose_by(shot: ShotAnswer) -> None:
    assert (
        say(shot)
        == """\
Take 3.1 s: gimbal at 487 (486.1 to 487.9), start at 488.

Why: hands off it falls from 80 deg to 0 deg in 3.0 s, which is what the move
wants.

   drop   mark  +/-  hold  fall  walk  band  margin      step
    2.0  492.0  0.9   3.0   1.9     8     1     562   1.8/2.3
>   3.1  487.0  0.9   1.9   3.0     5     1     234   2.9/3.5
!   8.0  483.0  0.9   0.8   7.7     2     3      35  7.8/tips

Times in s. hold: N to hold 80 deg, 250 mm from the gimbal. fall: hands off
through the move. walk: degrees that a start or stop at 1.4 m/s swings it. band:
degrees within which it stays where it is put. margin: grams more at the camera
that make it neutral. step: drop time one step of the gimbal up and down.
At 3.1 s in 95 %: hold 1.65 to 2.23 N, band 0 to 2 deg, margin 211 to 258 g,
step down 3.1 to 3.9 s; at the others about the same share. Sure to the last
place: fall, walk, step up.
! is not to be taken: at 8.0 s one step of the gimbal lower (0.5 mm) turns it
over.

Set to 487.0 mm without a drop test: 3.1 s (2.7 or more), or it turns over. Trim
it, start the gimbal at 488.0 mm, where it is surely bottom heavy (2.7 s (2.4 to
3.1)), drop it once, then move:
  riglog drop a-cam --mark 488mm SECONDS... --want 3.1s

Rests on 3 drop tests and 2 other readings."""
    )


def test_why_another_than_the_move_wants(shot: ShotAnswer) -> None:
    page = say(shot._replace(chosen=0, wanted_s=8.0, why=Why("near", shot.rows[2])))
    assert (
        "Why: the nearest to what the move wants, since at 8.0 s one step of the gimbal lower (0.5"
        " mm) turns\nit over."
    ).replace("\n", " ") in page.replace("\n", " ")


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        (Limit("margin", 0.038), "at 8.0 s 38 g more at the camera make it neutral"),
        (Limit("band", radians(20)), "at 8.0 s friction holds it up to 20 deg off"),
        (Limit("swing", radians(25)), "at 8.0 s a start or stop swings it 25 deg"),
        (Limit("travel", -0.0021), "at 8.0 s the mark lies 2.1 mm past the travel"),
        (Limit("step", 20.0), "one step of the gimbal lower (0.5 mm) makes it 20.0 s"),
    ],
)
def test_each_limit_has_its_words(shot: ShotAnswer, limit: Limit, words: str) -> None:
    rows = [*shot.rows[:2], shot.rows[2]._replace(limit=limit)]
    page = say(shot._replace(rows=rows, why=Why("longest", rows[2])))
    assert words in " ".join(page.split())


def test_a_step_that_may_turn_it_over_says_so(shot: ShotAnswer) -> None:
    rows = [each._replace(down_s=Value(3.5, 3.2, None)) for each in shot.rows]
    assert "step down 3.2 to tips;" in " ".join(say(shot._replace(rows=rows)).split())


def test_what_is_sure_everywhere_needs_no_bounds(shot: ShotAnswer) -> None:
    figures = ("force_n", "band_rad", "margin_kg", "down_s")
    sure = {name: about(0.2, 0.0) for name in figures}
    page = say(shot._replace(rows=[each._replace(**sure) for each in shot.rows]))
    words = " ".join(page.split())
    assert "Sure to the last place: hold, fall, walk, band, margin, step up, step down." in words
    assert "in 95 %" not in words


def test_an_acceleration_and_a_lean_have_columns_of_their_own(shot: ShotAnswer) -> None:
    asked = shot.shot._replace(accel_m_s2=1.5, for_s=3.0, lean_rad=radians(10))
    more = {"accel_rad": about(0.2, 0.0), "lean_to_m": about(-0.06, -0.03)}
    rows = [each._replace(**more) for each in shot.rows]
    answer = shot._replace(shot=asked, rows=rows, lean_name="stage-fore-aft", lean_scale=STAGE)
    page = say(answer)
    assert max(map(len, page.splitlines())) <= 80
    assert "while 1.5 m/s2 are held for 3.0 s" in " ".join(page.split())
    assert "stage in mm at which it hangs 10 deg, nose down" in " ".join(page.split())
    assert [line.split()[-1] for line in page.splitlines()[5:9]] == ["at", "-60", "-60", "-60"]


def test_json_holds_every_row(shot: ShotAnswer) -> None:
    found = tell(shot)
    assert [each["drop_s"] for each in found["rows"]] == [2.0, 3.1, 8.0]
    assert (found["take"], found["why"]["code"], found["wanted_s"]) == (1, "move", 3.1)
    assert found["rows"][2]["limit"] == "step"
    assert found["rows"][2]["down_s"] is None
    first = found["rows"][0]
    assert (first["force_low_n"], first["force_n"], first["force_high_n"]) == pytest.approx(
        (2.55, 3.0, 3.45)
    )
    assert first["margin_low_g"] < first["margin_g"] < first["margin_high_g"]
    assert (first["accel_deg"], first["accel_low_deg"], first["accel_high_deg"]) == (None,) * 3
    assert found["asked"]["from_deg"] == pytest.approx(80)
