"""What one more measurement would bring, held against what it does bring once it is made."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from jobs.flown import flown, question

from riglog.estimation.inference import Inference
from riglog.jobs.drop import drop
from riglog.jobs.predict import predict
from riglog.jobs.swap import swap
from riglog.library import Library
from riglog.library.evidence import kit_for

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.swap_answers import SwapAnswer


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def half(answer: SwapAnswer) -> float:
    """Half the interval of the pivot's place."""
    pivot = next(move for move in answer.moves if move.name == "pivot")
    assert pivot.low_m is not None
    assert pivot.high_m is not None
    return (pivot.high_m - pivot.low_m) / 2


def documents(library: Library, text: str) -> None:
    file = library.path.parent / "more.yaml"
    file.write_text(f"riglog: 1\n{text}")
    library.add([str(file)])


def test_before_a_swap_a_drop_brings_what_it_promised(library: Library) -> None:
    rung = swap(library, "a-cam", ["lens-35=lens-75"]).next_rung
    assert rung is not None
    assert (rung.do, rung.what) == ("drop", "a-cam")
    assert rung.now_m == pytest.approx(half(swap(library, "a-cam", ["lens-35=lens-75"])), rel=0.01)
    drop(library, question("a-cam", "2.4", "2.6", "2.5", mark="521"))
    assert half(swap(library, "a-cam", ["lens-35=lens-75"])) == pytest.approx(rung.then_m, rel=0.1)


def test_after_a_drop_weighing_the_lens_that_nobody_weighed_brings_the_most(
    library: Library,
) -> None:
    drop(library, question(mark="518"))
    rung = swap(library, "a-cam", ["lens-35=lens-new"]).next_rung
    assert rung is not None
    assert (rung.do, rung.what) == ("weigh", "lens-new")
    documents(
        library,
        "components:\n  - {id: lens-new, kind: lens, mass: 1.6 kg, mass_sd: 3 g,"
        " size: [150 mm, 100 mm, 100 mm], mounts: {front: [148 mm, 0 mm, 0 mm]}}\n",
    )
    now = half(swap(library, "a-cam", ["lens-35=lens-new"]))
    assert now == pytest.approx(rung.then_m, rel=0.15)


def test_of_a_unit_nobody_weighed_the_type_is_what_was_weighed(library: Library) -> None:
    drop(library, question(mark="518"))
    answer = swap(library, "a-cam", ["lens-35=lens-75-b"])
    assert answer.evidence.unweighed == []
    if answer.next_rung is not None:
        assert answer.next_rung.do != "weigh"


def test_with_everything_weighed_the_edge_tells_a_center_of_gravity(library: Library) -> None:
    drop(library, question(mark="518"))
    rung = swap(library, "a-cam", ["lens-35=lens-75"]).next_rung
    assert rung is not None
    assert rung.do == "edge"
    assert rung.what == "lens-75"
    documents(
        library,
        "components:\n  - {id: lens-75, kind: lens, mass: 1.84 kg, cg_sd: 1 mm,"
        " size: [160 mm, 105 mm, 105 mm], mounts: {front: [158 mm, 0 mm, 0 mm]}}\n",
    )
    now = half(swap(library, "a-cam", ["lens-35=lens-75"]))
    assert now == pytest.approx(rung.then_m, rel=0.15)


def test_where_nothing_is_listed_a_second_mark_brings_what_it_promised(tmp_path: Path) -> None:
    with Library.create(tmp_path / "empty.db", "kim") as empty:
        drop(empty, question("mystery", "3.0", "3.1", "3.2", mark="487"))
        rung = predict(empty, "mystery").next_rung
        assert rung is not None
        assert (rung.do, rung.what) == ("two-marks", "mystery")
        now = _neutral_half(empty)
        assert rung.now_m == pytest.approx(now, rel=0.1)
        drop(empty, question("mystery", "1.8", "1.7", "1.8", mark="496"))
        assert _neutral_half(empty) == pytest.approx(rung.then_m, rel=0.35)
        assert _neutral_half(empty) < 0.9 * now


def _neutral_half(library: Library) -> float:
    """Half the interval of neutral."""
    standing = library.standing("mystery")
    hung = standing.hung(standing.since[:10])
    hanging = Inference(kit_for(library.logbook, [hung], []), [hung]).stands[0]
    low, high = hanging.neutral(
        hanging.settle([hanging.tree.pivot], None), hanging.tree.pivot
    ).interval()
    return (high - low) / 2


def test_what_would_bring_hardly_anything_is_not_asked_for(library: Library) -> None:
    for mark, times in (("518", "3.1"), ("521", "2.5"), ("524", "2.2"), ("527", "1.95")):
        for day in range(10, 14):
            drop(
                library,
                question("a-cam", times, mark=mark, on=f"2026-03-{day}T09:00Z", method="sensor"),
            )
    assert predict(library, "a-cam").next_rung is None


def test_a_held_pivot_needs_no_rung(library: Library) -> None:
    assert swap(library, "a-cam", ["hood="], hold=["pivot"]).next_rung is None
