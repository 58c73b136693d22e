"""A ring rig from the first drop to the swap, through the program and its file."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from jobs.rings import RING

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done


def test_a_ring_is_flown_with_a_reading_for_each_side(
    riglog: Callable[..., Done], tmp_path: Path
) -> None:
    file = tmp_path / "ring.yaml"
    file.write_text(f"riglog: 1\n{RING}")
    assert riglog("init").status == 0
    assert riglog("add", str(file)).status == 0
    done = riglog("drop", "hand-ring", "0.8", "0.8", "--mark", "117mm,120mm", "--want", "1.2")
    assert done.out.startswith("Side pivots down ")
    assert "hand-ring with ring-lens at 117/120 mm: 0.8 s" in done.out
    assert "its right side low" in " ".join(done.out.split())
    told = json.loads(riglog("predict", "hand-ring", "--json").out)
    assert (told["pivot_mm"], told["pivot_left_mm"], told["pivot_right_mm"]) == (118.5, 117, 120)
    assert told["side_deg"]["value"] > 0
    swapped = riglog("swap", "hand-ring", "ring-lens=long-lens", "--json")
    pivot = json.loads(swapped.out)["settings"][0]
    assert (pivot["from_mm"], pivot["from_left_mm"], pivot["from_right_mm"]) == (118.5, 117, 120)
    assert "pivot 117/120 mm" in riglog("show", "hand-ring").out
    assert "117/120 mm" in riglog("history", "hand-ring").out
    marks = ("117mm,120mm=0.8", "110.5mm=1.2")
    neutral = json.loads(riglog("neutral", *marks, "--json").out)
    assert [mark["pivot_mm"] for mark in neutral["marks"]] == [118.5, 110.5]


def test_a_pair_that_no_hand_could_set_is_refused_in_one_line(
    riglog: Callable[..., Done], tmp_path: Path
) -> None:
    file = tmp_path / "ring.yaml"
    file.write_text(f"riglog: 1\n{RING}")
    riglog("init")
    riglog("add", str(file))
    done = riglog("drop", "hand-ring", "0.8", "--mark", "117mm,12mm")
    assert (done.status, done.out) == (2, "")
    assert done.err.splitlines() == [
        'riglog: "117mm,12mm" sets the two sides 105.0 mm apart',
        "  read both scales again",
    ]
    assert json.loads(riglog("list", "readings", "--json").out) == []


def test_a_ring_in_inches_takes_both_sides_as_they_are_printed(
    riglog: Callable[..., Done], tmp_path: Path
) -> None:
    file = tmp_path / "ring.yaml"
    scale = "{id: pivot, axis: z, travel: [0 in, 16 in], step: 0.125 in, unit: in}"
    old = next(line for line in RING.splitlines() if "id: pivot," in line)
    file.write_text(f"riglog: 1\n{RING.replace(old.strip().removeprefix('- '), scale)}")
    riglog("init")
    assert riglog("add", str(file)).status == 0
    refused = riglog("drop", "hand-ring", "0.8", "--mark", "7/8")
    assert (refused.status, refused.out) == (2, "")
    assert "write 7/8 in, or 7in,8in for left and right" in refused.err
    assert json.loads(riglog("list", "readings", "--json").out) == []
    first = riglog("drop", "hand-ring", "0.8", "--mark", "4 5/8in,4 3/4in")
    printed = first.out.split("hand-ring with ring-lens at ")[1].partition(":")[0]
    assert printed == "4 5/8 in/4 3/4 in"
    riglog("drop", "hand-ring", "0.9", "--mark", printed)
    read = json.loads(riglog("list", "readings", "--json").out)
    sides = {(round(each["pivot_left_mm"], 9), round(each["pivot_right_mm"], 9)) for each in read}
    assert (len(read), sides) == (2, {(117.475, 120.65)})
