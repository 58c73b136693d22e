"""What operators tell each other, held against the answers: common practice, no source."""

from __future__ import annotations

from math import radians
from typing import TYPE_CHECKING

import pytest
from jobs.flown import flown

from riglog.jobs.predict import predict
from riglog.jobs.swap import swap

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.library import Library

FILTER = """\
components:
  - {id: nd-180, kind: filter, mass: 180 g, size: [8 mm, 130 mm, 110 mm]}
"""


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path, FILTER) as opened:
        yield opened


def drops(library: Library, *marks_mm: float) -> list[float]:
    times = [predict(library, "a-cam", f"{mark}mm").drop_s.value for mark in marks_mm]
    assert all(times)
    return [time for time in times if time]


def test_about_three_seconds_is_an_everyday_drop_a_hand_above_nothing(library: Library) -> None:
    # On a full-size post rig that is some millimeters, not tenths and not centimeters.
    three = {move.name: move for move in swap(library, "a-cam", ["hood="], wanted="3s").moves}
    at = three["pivot"].to_m
    swap(library, "a-cam", ["hood="], wanted="3s", save="bare-cam")
    over = predict(library, "bare-cam", f"{1e3 * at:.2f}mm")
    assert over.drop_s.value == pytest.approx(3, abs=0.1)
    assert over.depth_m.value is not None
    assert 0.003 < over.depth_m.value < 0.008
    low, high = (
        {m.name: m for m in swap(library, "a-cam", ["hood="], wanted=w).moves}["pivot"].to_m
        for w in ("5s", "1.5s")
    )
    assert at - 0.005 < low < at < high < at + 0.025


def test_near_neutral_the_same_move_changes_the_drop_far_more(library: Library) -> None:
    near, nearer = drops(library, 516.5, 516.0)
    far, farther = drops(library, 530.5, 530.0)
    assert nearer - near > 8 * (farther - far) > 0


def test_a_longer_drop_leaves_less_weight_between_the_rig_and_neutral(library: Library) -> None:
    margins = [
        swap(library, "a-cam", ["hood="], wanted=wanted).margin_kg for wanted in ("2s", "3s", "5s")
    ]
    assert None not in margins
    assert margins == sorted(margins, key=lambda each: -(each or 0))
    # At 5 s and more a small part turns it over.
    assert margins[-1] is not None
    assert margins[-1] < 0.1


def test_a_filter_of_180_g_in_front_is_a_trim_job_first(library: Library) -> None:
    answer = swap(library, "a-cam", ["=nd-180@lens-35.front"], wanted="3s")
    (fitted,) = answer.passages
    assert fitted.lean_rad > radians(60)  # nose down, long before the drop time matters
    assert not fitted.turns_over
    steps = [(step.do, step.what) for step in answer.steps]
    assert steps.index(("set", "stage-fore-aft")) < steps.index(("first-mark", "pivot"))
    assert steps.index(("first-mark", "pivot")) < steps.index(("trim", ""))
    assert steps.index(("trim", "")) < steps.index(("drop", ""))


def test_a_body_swap_is_the_same_job_as_a_lens_swap(library: Library) -> None:
    answer = swap(library, "a-cam", ["body-north=body-south"], wanted="3s")
    there = {move.name: move for move in answer.moves}
    # 0.8 kg less at the top: the pivot goes down.
    assert there["pivot"].toward == "down"
    assert answer.passages[0].parts == ("hood", "lens-35", "body-north")
    assert answer.passages[1].parts == ("body-south", "lens-35", "hood")
