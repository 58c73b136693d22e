"""That the words of these questions reach their jobs, through a library on disk."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING

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
