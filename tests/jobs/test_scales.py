"""Scales and slides of every kind through documents, held against a tree rebuilt by hand.

An inch scale in sixteenths, one that reads down and starts elsewhere, a post whose upper segment
telescopes, a dovetail plate that is turned, a fine knob on the stage, and a yoke that rides along.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from jobs.flown import flown

from riglog.jobs.predict import predict
from riglog.jobs.swap import swap
from riglog.wording import say

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.answers import Move
    from riglog.library import Library

KIT = """\
components:
  - id: lower-tube
    kind: post
    mass: 1.6 kg
    size: [50 mm, 50 mm, 500 mm]
    mounts: {top: {at: [0 mm, 0 mm, 300 mm], moved_by: [reach]}}
    adjusters: [{id: reach, axis: z, travel: [0 mm, 200 mm], step: 5 mm}]
  - id: upper-tube
    kind: post
    mass: 0.9 kg
    size: [40 mm, 40 mm, 300 mm]
    mounts: {stage: {at: [0 mm, 0 mm, 300 mm], moved_by: [coarse, fine]}}
    adjusters:
      - {id: coarse, axis: x, travel: [-3 in, 3 in], step: 0.125 in, unit: in}
      - {id: fine, axis: x, travel: [-6 mm, 6 mm], step: 0.1 mm}
  - id: tail
    kind: dovetail
    mass: 0.5 kg
    size: [200 mm, 90 mm, 20 mm]
    cg: [10 mm, 0 mm, 10 mm]
    mounts: {top: {at: [5 mm, 0 mm, 20 mm], moved_by: [run]}}
    adjusters:
      - id: run
        axis: x
        travel: [-60 mm, 60 mm]
        step: 1 mm
        scale: {zero: 35 mm, reads: down}
  - id: inner-ring
    kind: gimbal
    mass: 0.4 kg
    size: [80 mm, 80 mm, 60 mm]
    cg: [0 mm, 0 mm, -10 mm]
rigs:
  - id: tele-rig
    type: post
    mounts:
      post: [0 mm, 0 mm, 0 mm]
      base: [0 mm, 0 mm, 20 mm]
      yoke: {at: [0 mm, 0 mm, 0 mm], moved_by: [pivot]}
    adjusters:
      - id: pivot
        axis: z
        travel: [2 in, 30 in]
        step: 0.0625 in
        unit: in
        scale: {zero: 900 mm, reads: down}
builds:
  - id: tele
    rig: tele-rig
    wanted_drop: 3 s
    parts:
      - {component: lower-tube, on: post}
      - {component: upper-tube, on: lower-tube.top}
      - {component: tail, on: upper-tube.stage, turn: {about: z, by: 180 deg}}
      - {component: body-north, on: tail.top, turn: {about: z, by: 180 deg}}
      - {component: lens-35, on: body-north.lens}
      - {component: block-battery, on: base, offset: [-150 mm, 0 mm, 0 mm]}
      - {component: screen, on: base, offset: [180 mm, 0 mm, 0 mm]}
      - {component: inner-ring, on: yoke}
    settings:
      pivot: 15 3/8 in
      lower-tube.reach: 120 mm
      upper-tube.coarse: 1/4 in
      upper-tube.fine: 5 mm
      tail.run: 20 mm
"""
INCH_M = 0.0254


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path, KIT) as opened:
        yield opened


def by_hand(
    pivot_in: float = 15.375, coarse_in: float = 0.25, fine: float = 0.005
) -> tuple[np.ndarray, float]:
    """Center of gravity and total mass, with every position worked out."""
    pivot = 0.900 - INCH_M * pivot_in  # reads down from 900 mm
    stage = np.array([INCH_M * coarse_in + fine, 0.0, 0.3 + 0.120 + 0.3])
    # Turned half about z, the plate's x points back; its slide stands at 35 - 20 = 15 mm.
    top = stage + np.array([-(0.005 + 0.015), 0.0, 0.020])
    lens = top + np.array([0.095, 0.0, 0.062])  # the body is turned back again
    parts = [
        (1.6, np.array([0.0, 0.0, 0.25])),
        (0.9, np.array([0.0, 0.0, 0.42 + 0.15])),
        (0.5, stage + np.array([-0.010, 0.0, 0.010])),
        (4.21, top + np.array([0.012, 0.0, 0.085])),
        (1.12, lens + np.array([0.06, 0.0, 0.0])),
        (2.6, np.array([-0.150, 0.0, 0.02 + 0.085])),
        (1.2, np.array([0.180, 0.0, 0.02 + 0.075])),
        (0.4, np.array([0.0, 0.0, pivot - 0.010])),
    ]
    mass = sum(kg for kg, _ in parts)
    return np.asarray(sum(kg * at for kg, at in parts) / mass), mass


def moves(library: Library, *free: str) -> dict[str, Move]:
    answer = swap(library, "tele", ["lens-35="], free=free)
    return {move.name: move for move in answer.moves}


def test_every_slide_moves_what_it_moves_by_its_own_scale(library: Library) -> None:
    told = predict(library, "tele")
    center, mass = by_hand()
    assert told.mass_kg == pytest.approx(mass, rel=1e-9)
    assert told.cg_m == pytest.approx(center, abs=1e-9)
    lower = predict(library, "tele", "15 1/2 in")
    assert lower.cg_m == pytest.approx(by_hand(pivot_in=15.5)[0], abs=1e-9)


def test_a_carried_yoke_takes_its_share_of_the_way(library: Library) -> None:
    there, further = (
        predict(library, "tele", mark).depth_m.value for mark in ("14 3/8 in", "13 3/8 in")
    )
    assert there is not None
    assert further is not None
    _, mass = by_hand()
    # Down the scale is up the post; an inch of it is a little less above the center.
    assert further - there == pytest.approx(INCH_M * (1 - 0.4 / mass), rel=0.001)


def test_inches_are_shown_as_the_scale_has_them(library: Library) -> None:
    text = say(predict(library, "tele"))
    assert "at 15 3/8 in" in text
    page = say(swap(library, "tele", ["lens-35="]))
    assert "15 3/8" in page


def test_the_coarse_slide_does_the_way_and_the_fine_knob_ends_in_its_middle_third(
    library: Library,
) -> None:
    both = moves(library, "upper-tube.fine")
    coarse, fine = both["upper-tube.coarse"], both["upper-tube.fine"]
    eighths = coarse.to_m / (0.125 * INCH_M)
    assert eighths == pytest.approx(round(eighths), abs=1e-6)
    assert coarse.free
    # From 5 mm, near its end, to within 2 mm of its middle and what an eighth of an inch leaves.
    assert abs(fine.to_m) <= 0.002
    assert coarse.toward in {"forward", "back"}


def test_alone_the_first_listed_slide_does_all_of_it(library: Library) -> None:
    alone = moves(library)
    assert alone["upper-tube.fine"].free is False
    assert alone["upper-tube.fine"].to_m == pytest.approx(0.005)


def test_coarse_and_fine_together_hang_it_upright(library: Library) -> None:
    both = moves(library, "upper-tube.fine")
    parts = {name: move.to_m for name, move in both.items()}
    pivot, coarse, fine = (
        parts[name] for name in ("pivot", "upper-tube.coarse", "upper-tube.fine")
    )
    center, mass = by_hand(pivot / INCH_M, coarse / INCH_M, fine)
    lens = coarse + fine - 0.02 + 0.095 + 0.06
    without = (mass * center[0] - 1.12 * lens) / (mass - 1.12)
    assert without == pytest.approx(0.0, abs=1e-6)


def test_the_coarse_step_of_work_comes_before_the_fine_one(library: Library) -> None:
    answer = swap(library, "tele", ["lens-35="], free=["upper-tube.fine"])
    done = [step.what for step in answer.steps if step.do == "set"]
    assert done == ["upper-tube.coarse", "upper-tube.fine"]
