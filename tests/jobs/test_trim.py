"""`trim` and `spin`: held against the documents' own figures, and what is recorded."""

from __future__ import annotations

from math import degrees, pi
from typing import TYPE_CHECKING

import numpy as np
import pytest
from jobs.flown import entries, flown, hangs_at

from riglog.errors import CallError
from riglog.jobs.spin import SpinQuestion, spin
from riglog.jobs.trim import trim_build

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.answers import Move
    from riglog.jobs.trim_answers import TrimAnswer
    from riglog.library import Library

PAN = SpinQuestion("a-cam", lens_end="dips", turns="3", time="7s", on="2026-03-14T10:00")


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def moves(answer: TrimAnswer) -> dict[str, Move]:
    return {move.name: move for move in answer.moves}


def test_the_moves_hang_it_upright_by_the_documents_alone(library: Library) -> None:
    answer = trim_build(library, "a-cam")
    readings = {move.name: move.to_m for move in answer.moves}
    hangs = hangs_at(library, library.standing("a-cam").build, readings)
    assert np.hypot(*np.asarray(hangs.cg)[:2]) < 1e-4
    assert all(abs(each) < 1e-4 for each in answer.off_m)


@pytest.mark.parametrize("build", ["a-cam", "low-cam"])
def test_the_axis_is_brought_upright_and_the_pivot_to_the_wanted_drop(
    library: Library, build: str
) -> None:
    answer = trim_build(library, build)
    before, after = answer.now.tilt_rad.value, answer.then.tilt_rad.value
    assert before is not None
    assert after is not None
    assert abs(degrees(before)) > 3
    assert abs(after) < 0.1 * abs(before)
    assert answer.wanted_s == 3.0
    assert moves(answer)["pivot"].free
    assert answer.first is not None
    assert answer.first.drop_s.value is not None


def test_low_mode_has_the_other_end_high(library: Library) -> None:
    high, low = (trim_build(library, build).now.tilt_rad.value for build in ("a-cam", "low-cam"))
    assert high is not None
    assert low == pytest.approx(-high, rel=0.2)


def test_the_tilt_is_known_to_an_interval_that_holds_it(library: Library) -> None:
    tilt = trim_build(library, "a-cam").now.tilt_rad
    assert tilt.low is not None
    assert tilt.high is not None
    assert tilt.value is not None
    assert tilt.low < tilt.value < tilt.high
    assert 0.5 < degrees(tilt.high - tilt.low) < 16


def test_what_is_held_stays_and_the_others_do_what_they_can(library: Library) -> None:
    answer = trim_build(library, "a-cam", hold=["base"])
    assert not moves(answer)["base-fore-aft"].free
    assert all(abs(each) < 1e-4 for each in answer.off_m)
    assert answer.then.tilt_rad.value == pytest.approx(answer.now.tilt_rad.value, abs=0.02)


def test_a_pan_is_told_by_the_full_expression_and_not_at_the_critical_rate(
    library: Library,
) -> None:
    rate = trim_build(library, "a-cam").now.critical_rad_s
    assert rate is not None
    slow, near, fast = (
        trim_build(library, "a-cam", pan=f"{share * rate * 30 / pi:.4f}rpm").panned
        for share in (0.3, 1.05, 4.0)
    )
    assert slow is not None
    assert near is not None
    assert fast is not None
    assert (near.near, near.lean_rad) == (True, None)
    assert slow.lean_rad is not None
    assert fast.lean_rad is not None
    tilt = trim_build(library, "a-cam").now.tilt_rad.value
    assert fast.lean_rad == pytest.approx(tilt, rel=0.35)


@pytest.mark.parametrize("pan", ["0rpm", "200rpm", "3 kg", "-5"])
def test_a_pan_rate_that_is_none_is_refused(library: Library, pan: str) -> None:
    with pytest.raises(CallError):
        trim_build(library, "a-cam", pan=pan)


def test_inertia_is_compared_with_the_last_version_of_other_parts(library: Library) -> None:
    assert trim_build(library, "a-cam").last is None
    build = library.standing("a-cam").build
    parts = tuple(part for part in build.parts if part.component != "hood")
    library.record(type(build)(id="a-cam", rig=build.rig, parts=parts, settings=build.settings))
    answer = trim_build(library, "a-cam")
    assert answer.last_version == 1
    assert answer.last is not None
    assert answer.last.tilt_kg_m2 > answer.inertia.tilt_kg_m2


def test_what_the_lens_end_did_is_recorded_and_believed(library: Library) -> None:
    before = entries(library)
    answer = spin(library, PAN)
    assert entries(library) == before + 1
    body = library.logbook.entry(answer.recorded).body
    assert (body["kind"], body["lens_end"], body["turns"], body["time"]) == ("spin", "dips", 3, 7)
    assert answer.rate_rad_s == pytest.approx(2 * pi * 3 / 7)
    assert answer.tilt_rad.value is not None
    assert answer.tilt_before_rad.value is not None
    assert answer.tilt_rad.value > answer.tilt_before_rad.value
    assert trim_build(library, "a-cam").now.tilt_rad == answer.tilt_rad


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"lens_end": "dropped"}, 'the lens end does not "dropped"'),
        ({"turns": "0"}, '"0" is out of range'),
        ({"turns": "many"}, "many"),
        ({"time": "7kg"}, "mass"),
        ({"time": "0"}, '"0" is no time for a pan'),
        ({"mark": "900mm"}, 'pivot cannot stand at "900mm"'),
    ],
)
def test_a_slip_records_nothing(library: Library, change: dict[str, str], says: str) -> None:
    before = entries(library)
    with pytest.raises(CallError) as refused:
        spin(library, PAN._replace(**change))
    assert says in refused.value.message
    assert entries(library) == before


def test_of_a_rig_with_nothing_listed_only_trim_at_rest_is_told(library: Library) -> None:
    from jobs.flown import question

    from riglog.jobs.drop import drop

    drop(library, question("new-post", mark="487mm", type="post"))
    answer = trim_build(library, "new-post")
    assert not answer.tilt_counts
    assert {each.code for each in answer.warnings} >= {"tilt_unlisted"}


def test_a_ring_is_trimmed_at_rest_alone_and_a_pan_says_nothing_of_it(tmp_path: Path) -> None:
    ring = """\
components:
  - id: hoop
    kind: frame
    mass: 3 kg
    size: [300 mm, 400 mm, 350 mm]
    mounts: {plate: {at: [0 mm, 0 mm, 60 mm], moved_by: [slide]}}
    adjusters: [{id: slide, axis: x, travel: [-60 mm, 60 mm]}]
rigs:
  - id: ring-one
    type: ring
    mounts: {f: [0 mm, 0 mm, 0 mm]}
    adjusters: [{id: pivot, axis: z, travel: [100 mm, 300 mm], step: 0.5 mm}]
builds:
  - id: r-cam
    rig: ring-one
    wanted_drop: 2 s
    parts:
      - {component: hoop, on: f}
      - {component: body-north, on: hoop.plate}
      - {component: lens-35, on: body-north.lens}
    settings: {pivot: 180 mm, hoop.slide: 0 mm}
"""
    with flown(tmp_path, ring) as library:
        answer = trim_build(library, "r-cam")
        assert [move.name for move in answer.moves if move.free] == ["pivot", "hoop.slide"]
        assert all(abs(each) < 1e-4 for each in answer.off_m[:1])
        assert answer.now.tilt_rad.value is None
        before = answer.then
        spin(library, PAN._replace(build="r-cam", lens_end="flat"))
        assert trim_build(library, "r-cam").then.lean_rad == pytest.approx(
            before.lean_rad, abs=1e-3
        )
