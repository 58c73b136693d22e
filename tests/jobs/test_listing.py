from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from library.kit import fork

from riglog.errors import CallError
from riglog.jobs.listing import Built, Read, Thing, list_
from riglog.records import Drop, Weight

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.library import Library


@pytest.mark.parametrize("words", ["component", "components", "Components"])
def test_things_are_listed_by_their_ids(logged: Library, words: str) -> None:
    rows = list_(logged, words).rows
    assert [row.noun.id for row in rows if isinstance(row, Thing)] == [
        "body-north", "lens-35", "lens-75", "slide", "slide-2",
    ]  # fmt: skip
    assert {(row.kept.version, row.kept.author, row.kept.forked) for row in rows} == {
        ("1", "kim", False)
    }


def test_a_build_is_listed_with_its_mark_and_its_last_drop(logged: Library) -> None:
    (row,) = list_(logged, "builds").rows
    assert isinstance(row, Built)
    assert row.drop is not None
    assert (row.mark, row.drop.times, row.dropped_by) == (0.490, (2.6,), "kim")
    assert row.pivot.step == 0.0005


def test_a_weighing_is_no_drop(logged: Library) -> None:
    logged.record_reading(Weight(build="a-cam", on="2026-03-14T12:00:00+01:00", mass=17.2))
    (row,) = list_(logged, "builds").rows
    assert isinstance(row, Built)
    assert row.drop is not None
    assert row.drop.times == (2.6,)


def test_drops_of_a_former_version_are_not_those_of_the_newest(logged: Library) -> None:
    logged.record(replace(logged.standing("a-cam").build, note="monitor lower"))
    (row,) = list_(logged, "builds").rows
    assert isinstance(row, Built)
    assert (row.kept.version, row.mark, row.drop) == ("2", 0.487, None)


def test_both_heads_of_a_fork_are_listed(logged: Library, path: Path) -> None:
    heads = fork(path, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    rows = list_(logged, "builds").rows
    assert [(row.kept.entry, row.kept.version, row.kept.forked) for row in rows] == [
        (head.id, f"2.{head.id[:4]}", True) for head in heads
    ]


def test_readings_are_listed_newest_first(logged: Library) -> None:
    logged.record_reading(Drop(build="a-cam", on="2026-03-14T08:20:00Z", times=(2.9,)))
    rows = [row for row in list_(logged, "readings").rows if isinstance(row, Read)]
    assert [row.noun.times for row in rows if isinstance(row.noun, Drop)] == [
        (2.6,), (2.9,), (3.1, 3.0),
    ]  # fmt: skip
    assert [row.mark for row in rows] == [0.490, 0.487, 0.487]


def test_what_is_no_kind_is_answered_with_the_nearest(logged: Library) -> None:
    with pytest.raises(CallError, match="did you mean builds"):
        list_(logged, "buidls")
