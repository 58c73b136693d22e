from __future__ import annotations

import pytest
from wcwidth import wcswidth

from riglog.jobs.listing import Built, Kept, ListAnswer, Read, Row, Thing
from riglog.records import (
    Adjuster,
    Build,
    Component,
    Drop,
    HangsUpright,
    Lean,
    LoadRange,
    PivotPair,
    Rig,
    Swing,
)
from riglog.wording import say, tell

KEPT = Kept(
    "12.ab12", "f" * 64, "\u5317\u5ddd \u667a\u5b50 " * 5, "2026-03-14T09:10:00Z", forked=True
)
PIVOT = Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005)
LONG = "a-" * 31 + "cam"
RING = PivotPair(left=0.2125, right=0.2135)
DROP = Drop(build=LONG, on="2026-03-14T09:10:00+01:00", times=(3.1, 3.0, 3.2, 3.15), nose="down")
ROWS: dict[str, Row] = {
    "component": Thing(
        KEPT, Component(id=LONG, kind="transmitter", mass=14.21, by="luggage scale")
    ),
    "rig": Thing(
        KEPT,
        Rig(id=LONG, type="ring", adjusters=(PIVOT,), rated_load={"rig": LoadRange(greatest=24.0)}),
    ),
    "build": Built(KEPT, Build(id=LONG, rig=LONG), PIVOT, RING, DROP, "kim\x1b[31m"),
    "reading": Read(KEPT, DROP, PIVOT, RING),
}


@pytest.mark.parametrize("kind", ROWS)
def test_a_line_fits_80_columns_whatever_the_names(kind: str) -> None:
    heading, line, *_ = say(ListAnswer(kind, [ROWS[kind]])).splitlines()
    assert wcswidth(heading) <= 80
    assert 0 < wcswidth(line) <= 80


def test_an_unweighed_component_has_no_mass_and_says_what_it_is_like() -> None:
    lens = Component(id="lens-b", kind="lens", like="lens-35")
    line = say(ListAnswer("component", [Thing(KEPT, lens)])).splitlines()[1]
    assert line.split()[:6] == ["lens-b", "12.ab12", "lens", "-", "like", "lens-35"]


def test_a_build_that_was_never_dropped_says_when_it_was_recorded() -> None:
    row = Built(KEPT, Build(id="a-cam", rig="post-one"), PIVOT, None, None, "")
    line = say(ListAnswer("build", [row])).splitlines()[1]
    assert line.split()[3:6] == ["-", "-", "2026-03-14"]
    (told,) = tell(ListAnswer("build", [row]))
    assert (told["pivot_mm"], told["drop_s"], told["dropped_on"]) == (None, None, None)


def test_a_fork_is_told_with_its_number_and_its_name() -> None:
    (told,) = tell(ListAnswer("rig", [ROWS["rig"]]))
    assert (told["version"], told["name"], told["forked"]) == (12, "12.ab12", True)
    assert told["rated_load"] == {"rig": {"least_kg": None, "greatest_kg": 24.0}}


def test_what_is_forked_is_said_below_the_table() -> None:
    told = say(ListAnswer("build", [ROWS["build"], ROWS["build"]])).splitlines()
    assert told[3:] == ["", "Forked, and nobody settled which counts:", f"{LONG}."]


def test_what_was_read_is_cut_where_a_line_would_be_too_long() -> None:
    line = say(ListAnswer("reading", [Read(KEPT, DROP, PIVOT, 0.487)])).splitlines()[1]
    assert "drop 3.1..se down" in line
    assert line.endswith("ffffffff")


def test_a_reading_says_once_of_what_kind_it_is() -> None:
    on = "2026-03-14T09:10:00Z"
    for reading, told in (
        (HangsUpright(build="a-cam", on=on), "upright within 1 deg"),
        (Lean(build="a-cam", on=on, lean=0.0349065850399), "lean 2 deg"),
        (Swing(build="a-cam", on=on, swings=5, time=14.0, start=0.3), "5 swings in 14 s"),
    ):
        line = say(ListAnswer("reading", [Read(KEPT, reading, PIVOT, 0.487)])).splitlines()[1]
        assert f"487.0 mm  {told}  " in line
