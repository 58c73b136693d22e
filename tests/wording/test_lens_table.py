from __future__ import annotations

import csv
import io
import re
from dataclasses import replace

import pytest

from riglog.jobs.answers import Evidence, Named
from riglog.jobs.lens_table_answers import LensRow, LensTableAnswer, Mark, Slide
from riglog.records import Adjuster
from riglog.wording import say, table, tell

PIVOT = Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005)
STAGE = Adjuster(id="stage-fore-aft", axis="x", travel=(-0.08, 0.08))


def mark(at: float, beyond: float = 0.0) -> Mark:
    return Mark(at + 0.0001, at, at - 0.001, at + 0.0012, at + 0.001, beyond)


def slide(at: float, beyond: float = 0.0) -> Slide:
    return Slide("stage-fore-aft", at, at, at - 0.002, at + 0.002, beyond)


@pytest.fixture
def answer() -> LensTableAnswer:
    return LensTableAnswer(
        named=Named("a-cam", 2, "3ab12f04" + "c" * 56, "post", "high"),
        old="lens-35",
        kind="lens",
        wanted_s=[3.0, 5.5],
        scales={"pivot": PIVOT, "stage-fore-aft": STAGE},
        rows=[
            LensRow(
                "lens-35",
                on=True,
                mass_kg=17.2,
                slides=[slide(0.012)],
                marks=[mark(0.487), mark(0.4835)],
            ),
            LensRow(
                "lens-75",
                on=False,
                mass_kg=17.9,
                slides=[slide(-0.085, -0.005)],
                marks=[mark(0.612, 0.012), None],
            ),
            LensRow("lens-bare", on=False, why="lens-bare has no mount front for hood"),
        ],
        left_out=["hood"],
        evidence=Evidence(drops=3, readings=5),
    )


def test_one_page_for_the_whole_set(answer: LensTableAnswer) -> None:
    assert (
        say(answer)
        == """\
a-cam, 2 lenses in place of lens-35: gimbal for 3 s or 5.5 s.

in mm        kg  fore-aft     3 s  +/-  start  5.5 s  +/-  start
lens-35 *  17.2        12   487.0  1.1  488.0  483.5  1.1  484.5
lens-75    17.9      !-85  !612.0  1.1             -

Start the gimbal at the mark under start, where the rig is surely bottom heavy,
drop it once, then move. +/- is 95 %.
Fore-aft is stage-fore-aft.
* is on the build now.
! lies past the end of the travel: move weight, or ask for another drop.
- means that no mark drops so soon.
lens-bare: lens-bare has no mount front for hood.
Left out, as lens-35 is a lens: hood.

Whichever goes on, save its swap before the drop:
  riglog swap a-cam lens-35=LENS --save a-cam

Rests on 3 drop tests and 2 other readings."""
    )


def test_many_drop_times_stand_in_tables_under_each_other(answer: LensTableAnswer) -> None:
    wanted = [2.0, 3.0, 4.0, 5.0, 6.0]
    rows = [
        LensRow("lens-35", on=True, mass_kg=17.2, slides=[slide(0.012)], marks=[mark(0.487)] * 5)
    ]
    page = say(answer._replace(wanted_s=wanted, rows=rows))
    heads = [line.split("side")[-1] for line in page.splitlines() if line.startswith("in mm")]
    assert [re.findall("[2-6] s", head) for head in heads] == [
        ["2 s", "3 s"],
        ["4 s", "5 s"],
        ["6 s"],
    ]
    assert max(map(len, page.splitlines())) <= 80


def test_scales_in_two_units_say_which(answer: LensTableAnswer) -> None:
    inches = replace(STAGE, unit="in")
    page = say(answer._replace(scales={"pivot": PIVOT, "stage-fore-aft": inches}))
    assert "fore-aft (in)" in page.splitlines()[2]


def test_a_line_for_each_lens_and_drop_time_in_a_spreadsheet(answer: LensTableAnswer) -> None:
    rows = list(csv.DictReader(io.StringIO(table(answer))))
    told = [(row["lens"], row["drop_s"], row["pivot_mm"], row["why"]) for row in rows]
    assert told == [
        ("lens-35", "3.0", "487.1", ""),
        ("lens-35", "5.5", "483.6", ""),
        ("lens-75", "3.0", "612.1", ""),
        ("lens-75", "5.5", "", "no mark drops so soon"),
        ("lens-bare", "3.0", "", "lens-bare has no mount front for hood"),
        ("lens-bare", "5.5", "", "lens-bare has no mount front for hood"),
    ]
    assert rows[2]["pivot_beyond_mm"] == "12.0"
    assert rows[2]["stage-fore-aft_beyond_mm"] == "-5.0"


def test_json_holds_the_same(answer: LensTableAnswer) -> None:
    found = tell(answer)
    assert found["drops_s"] == [3.0, 5.5]
    first, second, bare = found["lenses"]
    assert first["marks"][1] == {
        "drop_s": 5.5,
        "to_mm": pytest.approx(483.6),
        "low_mm": pytest.approx(482.5),
        "high_mm": pytest.approx(484.7),
        "set_mm": pytest.approx(483.5),
        "beyond_mm": 0.0,
        "first_mm": pytest.approx(484.5),
    }
    assert second["marks"][1] is None
    assert (bare["why"], bare["mass_kg"], bare["marks"]) == (
        "lens-bare has no mount front for hood", None, [],
    )  # fmt: skip
