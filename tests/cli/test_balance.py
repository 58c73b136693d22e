"""That the words of these questions reach their jobs, through a library on disk."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

    from cli.conftest import Done

    Riglog = Callable[..., Done]


def test_a_lens_table_as_text_json_and_values(riglog: Riglog, kit: str) -> None:
    assert kit
    words = ("lens-table", "a-cam", "--swap", "lens-35", "--with", "lens-*", "--drop", "3s")
    page, told, values = riglog(*words), riglog(*words, "--json"), riglog(*words, "--csv")
    assert page.status == told.status == values.status == 0
    assert page.out.startswith("a-cam, 2 lenses in place of lens-35: gimbal for 3 s.\n")
    assert [row["lens"] for row in json.loads(told.out)["lenses"]] == ["lens-35", "lens-75"]
    rows = list(csv.DictReader(io.StringIO(values.out)))
    assert [row["drop_s"] for row in rows] == ["3.0", "3.0"]


def test_a_lens_table_of_nothing_says_so_in_one_line(riglog: Riglog, kit: str) -> None:
    assert kit
    done = riglog("lens-table", "a-cam", "--swap", "lens-35", "--with", "x-*")
    assert (done.status, done.out) == (2, "")
    assert done.err == 'riglog: no component fits "x-*"\n  riglog list components\n'


def test_a_pan_is_recorded_and_then_trimmed_for(riglog: Riglog, kit: str) -> None:
    assert kit
    done = riglog("spin", "a-cam", "--lens-end", "dips", "--turns", "3", "--in", "7s", "--json")
    assert done.status == 0
    assert json.loads(riglog("list", "readings", "--json").out)[0]["lens_end"] == "dips"
    answer = riglog("trim", "a-cam", "--pan", "20rpm", "--json")
    found = json.loads(answer.out)
    assert answer.status == 0
    assert found["pan"]["rate_rpm"] == 20.0
    assert list(found["now"]) == [
        "lean_deg",
        "side_deg",
        "tilt_deg",
        "tilt_side_deg",
        "critical_rpm",
    ]


SHOT = ("shot", "a-cam", "--from", "80deg", "--to", "0deg", "--over", "4s")


def test_a_shot_as_text_and_json(riglog: Riglog, kit: str) -> None:
    assert kit
    page, told = riglog(*SHOT), riglog(*SHOT, "--json")
    assert page.status == told.status == 0
    assert page.out.startswith("Take ")
    assert page.out.splitlines()[1:3][0] == ""
    found = json.loads(told.out)
    assert found["rows"][found["take"]]["drop_s"] == pytest.approx(found["wanted_s"])


def test_a_plot_is_for_terminals_and_for_those_who_ask(riglog: Riglog, kit: str) -> None:
    assert kit
    for words in (SHOT, ("predict", "a-cam")):
        plain, drawn = riglog(*words), riglog(*words, "--plot")
        assert "^ stands" not in plain.out
        assert "^ stands" in drawn.out
        assert drawn.out.startswith(plain.out.rstrip())
        assert riglog(*words, "--plot", "--json").out == riglog(*words, "--json").out


@pytest.mark.parametrize(
    ("settings", "sign"),
    [
        ({"PYTHONIOENCODING": "utf-8", "TERM": "xterm"}, "\u2022 expected"),
        ({"PYTHONIOENCODING": "utf-8", "TERM": "dumb"}, "* expected"),
        ({"PYTHONIOENCODING": "latin-1", "TERM": "xterm"}, "* expected"),
        ({"PYTHONIOENCODING": "ascii", "TERM": "xterm"}, "* expected"),
    ],
)
def test_signs_that_do_not_come_out_are_drawn_in_plain_ones(
    program: Riglog, kit: str, settings: dict[str, str], sign: str
) -> None:
    assert kit
    assert sign in program("predict", "a-cam", "--plot", **settings).out


@pytest.mark.parametrize("columns", ["30", "60", "200"])
def test_a_plot_is_as_wide_as_the_terminal(program: Riglog, kit: str, columns: str) -> None:
    assert kit
    out = program("predict", "a-cam", "--plot", COLUMNS=columns, PYTHONIOENCODING="ascii").out
    drawn = out.splitlines()[-14:]
    assert max(map(len, drawn)) <= min(int(columns), 80)
    assert len(drawn[-3]) == min(int(columns), 78)


def test_what_small_changes_do(riglog: Riglog, kit: str) -> None:
    assert kit
    page, told = riglog("sensitivity", "a-cam"), riglog("sensitivity", "a-cam", "--json")
    assert page.status == told.status == 0
    assert "trim first" in page.out.splitlines()[0]
    places = [each["name"] for each in json.loads(told.out)["shifts"] if each["what"] == "place"]
    assert places == ["lens-front", "camera-top", "camera-back"]
