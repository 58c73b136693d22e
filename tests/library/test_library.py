from __future__ import annotations

from dataclasses import replace
from threading import Thread
from typing import TYPE_CHECKING

import pytest
from library.kit import entries, fork

from riglog.errors import AmbiguousError, CallError, ForkError, LibraryError, NotFoundError
from riglog.library import Library
from riglog.records import Drop

if TYPE_CHECKING:
    from pathlib import Path

DROP = Drop(build="a-cam", on="2026-03-14T12:00:00+01:00", times=(3.1, 3.0))


def test_there_is_no_library_before_somebody_makes_one(path: Path) -> None:
    with pytest.raises(LibraryError, match="riglog init makes one"):
        Library.open(path, "kim")
    assert not path.exists()


def test_the_newest_version_of_a_thing_is_what_it_is(library: Library) -> None:
    lens = library.component("lens-35")
    library.record(replace(lens, mass=1.15))
    assert library.component("lens-35").mass == 1.15
    assert library.rig("post-one").adjuster("pivot").step == 0.0005


def test_a_thing_is_meant_by_an_unambiguous_part_of_its_id(library: Library) -> None:
    assert library.resolve("component", "35") == "lens-35"
    assert library.resolve("component", "slide") == "slide"  # an exact id wins
    with pytest.raises(AmbiguousError, match="lens-35 or lens-75"):
        library.resolve("component", "lens")


def test_a_thing_of_another_kind_is_said_to_be_one(library: Library) -> None:
    with pytest.raises(NotFoundError, match="lens-35 is a component"):
        library.standing("lens-35")


def test_a_version_is_named_behind_an_at_sign(library: Library) -> None:
    build = library.standing("a-cam").build
    library.record(replace(build, wanted_drop=5.0))
    assert library.standing("a-cam").build.wanted_drop == 5.0
    former = library.standing("cam@1")
    assert (former.build.wanted_drop, former.number, former.name) == (3.0, 1, "1")
    with pytest.raises(NotFoundError, match="it has 1 or 2"):
        library.standing("a-cam@3")


def test_a_reading_moves_where_the_rig_stands_and_a_new_version_starts_anew(
    library: Library,
) -> None:
    library.record_reading(replace(DROP, settings={"pivot": 0.490}))
    stands = library.standing("a-cam")
    assert (stands.settings["pivot"], stands.number) == (0.490, 1)
    assert stands.settings["stage-side"] == -0.001
    library.record(replace(stands.build, note="monitor lower"))
    stands = library.standing("a-cam")
    assert (stands.settings["pivot"], stands.number) == (0.487, 2)


def test_a_reading_is_recorded_with_every_setting_as_the_rig_stood_then(
    library: Library, path: Path
) -> None:
    library.record_reading(replace(DROP, settings={"pivot": 0.490}))
    library.record_reading(replace(DROP, on="2026-03-14T13:00:00+01:00"))
    earlier = library.record_reading(replace(DROP, on="2026-03-14T11:00:00+01:00"))
    assert earlier.name == "1"
    taken = [entry.body["stand"]["settings"] for entry in entries(path)[-3:]]
    at_noon, at_one, at_eleven = taken
    assert at_noon == {"pivot": 0.490, "stage-side": -0.001, "slide-2.run": 0.0127}
    assert at_one == at_noon
    assert at_eleven == {**at_noon, "pivot": 0.487}  # it was taken before the pivot was moved


def test_an_equal_reading_of_a_command_is_another_reading(library: Library, path: Path) -> None:
    before = len(entries(path))
    library.record_reading(DROP)
    library.record_reading(DROP)
    assert len(entries(path)) == before + 2


def test_a_reading_of_an_unknown_build_is_refused_and_records_nothing(
    library: Library, path: Path
) -> None:
    before = entries(path)
    with pytest.raises(NotFoundError, match='there is no build "b-cam"'):
        library.record_reading(replace(DROP, build="b-cam"))
    assert entries(path) == before


def test_what_is_the_same_records_nothing(library: Library, path: Path) -> None:
    before = entries(path)
    lens = library.component("lens-35")
    (found,) = library.record(lens)
    assert (found.what, found.name) == ("same", "1")
    assert found.entry in {entry.id for entry in before}
    assert entries(path) == before


def test_a_changed_thing_is_a_version_on_its_head(library: Library, path: Path) -> None:
    lens = library.component("lens-35")
    (second,) = library.record(replace(lens, mass=1.15))
    (third,) = library.record(lens)
    assert [(each.what, each.name) for each in (second, third)] == [
        ("changed", "2"),
        ("changed", "3"),
    ]
    *_, last = entries(path)
    assert (last.id, last.parents, last.author) == (third.entry, (second.entry,), "kim")


def test_a_forked_build_answers_with_both_heads_and_how_to_name_them(
    library: Library, path: Path
) -> None:
    heads = fork(path, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    names = [f"a-cam@2.{head.id[:4]} (author-{n}, 2026-03-15)" for n, head in enumerate(heads)]
    with pytest.raises(ForkError) as caught:
        library.standing("a-cam")
    assert caught.value.message == "a-cam has 2 newest versions, and nobody settled which counts"
    settle = "to settle it: riglog settle a-cam"
    assert caught.value.hint == f"name one of them: {names[0]} or {names[1]}; {settle}"
    assert caught.value.status == 3
    assert library.standing(f"a-cam@2.{heads[1].id[:4]}").build.note == "yours"


def test_on_a_fork_nothing_is_recorded_but_what_is_there_already(
    library: Library, path: Path
) -> None:
    build = library.standing("a-cam").build
    fork(path, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    before = entries(path)
    for attempt in (
        lambda: library.record(replace(build, note="third")),
        lambda: library.record_reading(DROP),
    ):
        with pytest.raises(ForkError):
            attempt()
    assert library.record(replace(build, note="mine"))[0].what == "same"
    assert entries(path) == before


def test_a_forked_component_is_not_taken_for_either(library: Library, path: Path) -> None:
    fork(path, "component", "lens-35", {"cg_sd": 0.002}, {"cg_sd": 0.003})
    with pytest.raises(ForkError, match="lens-35 has 2 newest versions"):
        library.component("lens-35")


def test_things_are_recorded_all_or_none(library: Library, path: Path) -> None:
    fork(path, "component", "lens-35", {"cg_sd": 0.002}, {"cg_sd": 0.003})
    before = entries(path)
    fine, forked = library.component("lens-75"), library.component("lens-75")
    with pytest.raises(ForkError):
        library.record(replace(fine, mass=1.5), replace(forked, id="lens-35"))
    assert entries(path) == before


def test_the_build_in_use_is_meant_where_none_is_named(library: Library, path: Path) -> None:
    with pytest.raises(CallError, match="riglog use BUILD"):
        library.standing()
    assert library.use("cam") == "a-cam"
    assert library.standing().build.id == "a-cam"
    with Library.open(path, "lee") as others, pytest.raises(CallError, match="no build is named"):
        others.standing()


def test_using_a_build_is_no_entry(library: Library, path: Path) -> None:
    before = entries(path)
    library.use("a-cam")
    assert entries(path) == before


def test_a_reader_sees_one_state_and_a_writer_waits_for_it(library: Library, path: Path) -> None:
    lens = replace(library.component("lens-35"), mass=1.15)

    def write() -> None:
        with Library.open(path, "kim", write=True) as writer:
            writer.record(lens)

    writing = Thread(target=write)
    with Library.open(path, "lee") as reader:
        assert reader.component("lens-35").mass == 1.12
        writing.start()
        writing.join(timeout=0.2)
        assert writing.is_alive()
        assert reader.component("lens-35").mass == 1.12
    writing.join(timeout=5)
    assert library.component("lens-35").mass == 1.15
