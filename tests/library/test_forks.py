"""One document recorded on two machines: two heads that say the same are no fork."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from library.kit import KIT, WHOLE, entries, fork, written

from riglog.jobs.listing import list_
from riglog.jobs.merge import merge
from riglog.jobs.predict import predict
from riglog.library import Library
from riglog.library.forks import differ, is_fork, newest, weighed_apart
from riglog.library.weighings import weighings
from riglog.logbook import apart

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def both(path: Path, tmp_path: Path) -> Path:
    """A library that took in another, made of the same document by somebody else."""
    folder = tmp_path / "theirs"
    folder.mkdir()
    for library, who, where in ((path, "kim", tmp_path), (folder / "kit.db", "noor", folder)):
        with Library.create(library, who) as made:
            made.add(written(where, WHOLE))
    merge(path, [folder / "kit.db"])
    return path


def test_both_stay_and_nothing_is_forked(both: Path) -> None:
    assert len(entries(both)) == 18
    with Library.open(both, "kim") as library:
        assert library.standing("a-cam").number == 1
        for kind in ("components", "rigs", "builds"):
            rows = list_(library, kind).rows
            assert (
                len(rows) == len({row.kept.entry for row in rows}) == {"components": 5}.get(kind, 1)
            )
            assert not any(row.kept.forked for row in rows)


def test_a_rig_stands_where_either_of_them_left_it(both: Path) -> None:
    with Library.open(both, "kim") as library:
        assert library.standing("a-cam").settings["pivot"] == 0.49


def test_what_was_read_on_one_of_the_machines_tells_where_it_stands(
    path: Path, tmp_path: Path
) -> None:
    for who, document in (("kim", KIT), ("noor", WHOLE)):
        folder = tmp_path / who
        folder.mkdir()
        with Library.create(folder / "kit.db", who) as made:
            made.add(written(folder, document))
        merge(path, [folder / "kit.db"])
    with Library.open(path, "kim") as library:
        assert library.standing("a-cam").settings["pivot"] == 0.49


def test_the_same_reading_counts_once(both: Path, path: Path, tmp_path: Path) -> None:
    alone = tmp_path / "alone.db"
    with Library.create(alone, "kim") as library:
        library.add(written(tmp_path, WHOLE))
        expected = predict(library, "a-cam", None)
    with Library.open(both, "kim") as library:
        found = predict(library, "a-cam", None)
    assert found.evidence.drops == expected.evidence.drops == 2
    assert found.drop_s == expected.drop_s
    assert path == both


def test_the_next_version_comes_after_both(both: Path) -> None:
    with Library.open(both, "kim", write=True) as library:
        build = library.standing("a-cam").build
        (same,) = library.record(build)
        (changed,) = library.record(replace(build, note="windy"))
        assert (same.what, changed.what, changed.name) == ("same", "changed", "2")
        (head,) = library.logbook.heads("build", "a-cam")
        assert len(head.parents) == 2


def test_heads_that_differ_are_a_fork_whatever_their_order(library: Library, path: Path) -> None:
    fork(path, "component", "lens-35", {"cg_sd": 0.002}, {"cg_sd": 0.003})
    first, second = library.logbook.heads("component", "lens-35")
    assert is_fork([first, second])
    assert newest([first, second]) == newest([second, first])


@pytest.mark.parametrize(
    ("changes", "forked"),
    [
        ([{"mass": 1.2}, {"mass": 1.3}], False),
        ([{"mass": 1.2, "by": "bench scale", "note": "with caps"}, {"mass": 1.3}], False),
        ([{"mass": 1.2, "mass_sd": 0.002}, {"mass": 1.2}, {"mass": 1.3}], False),
        ([{"mass": 1.2}, {"mass": 1.3, "size": [0.1, 0.09, 0.09]}], True),
        ([{"mass": 1.2}, {"mass": 1.3, "modified": "2026-03-15"}], True),
    ],
)
def test_what_several_people_weighed_is_no_fork(
    library: Library, path: Path, changes: list[dict[str, Any]], forked: bool
) -> None:
    fork(path, "component", "lens-35", *changes)
    heads = library.logbook.heads("component", "lens-35")
    assert differ(heads)
    assert is_fork(heads) == forked
    assert weighed_apart(heads) != forked


def test_two_notes_on_a_build_are_a_fork_as_builds_are_not_weighed(
    library: Library, path: Path
) -> None:
    fork(path, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    assert is_fork(library.logbook.heads("build", "a-cam"))


def test_a_mass_that_one_of_them_took_out_is_a_fork() -> None:
    lens = {"id": "lens-35", "kind": "lens"}
    assert apart.forked("component", [lens | {"mass": 1.2}, lens])


def test_what_was_weighed_once_is_no_surer_for_being_written_down_twice(both: Path) -> None:
    with Library.open(both, "kim") as library:
        log = library.logbook
        (found,) = weighings(log, log.versions("component", "lens-35"))
    assert found.mass_kg == 1.12
