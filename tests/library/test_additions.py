from __future__ import annotations

import io
import sys
from typing import TYPE_CHECKING

import pytest
from library.kit import BUILDS, COMPONENTS, KIT, READINGS, RIGS, WHOLE, entries, fork, written

from riglog.errors import CallError, DocumentError, ForkError
from riglog.library import Library

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.library.recording import Recorded


def whats(found: list[Recorded]) -> list[tuple[str, str, str, str]]:
    return [(each.kind, each.id, each.what, each.name) for each in found]


ALL = [
    ("component", "body-north", "new", "1"),
    ("component", "lens-35", "new", "1"),
    ("component", "lens-75", "new", "1"),
    ("component", "slide", "new", "1"),
    ("component", "slide-2", "new", "1"),
    ("rig", "post-one", "new", "1"),
    ("build", "a-cam", "new", "1"),
    ("reading", "a-cam", "new", "1"),
    ("reading", "a-cam", "new", "1"),
]


@pytest.fixture
def empty(path: Path) -> Library:
    return Library.create(path, "kim")


def test_a_document_is_recorded_things_first(empty: Library, path: Path, tmp_path: Path) -> None:
    with empty as library:
        found = library.add(written(tmp_path, WHOLE))
    assert whats(found) == ALL
    assert [entry.id for entry in entries(path)] == [each.entry for each in found]


def test_a_dry_run_tells_the_same_and_records_nothing(
    empty: Library, path: Path, tmp_path: Path
) -> None:
    files = written(tmp_path, WHOLE)
    with empty:
        pass
    with Library.open(path, "kim") as reader:
        planned = reader.add(files, dry_run=True)
    assert whats(planned) == ALL
    assert {each.entry for each in planned} == {""}
    assert entries(path) == []


def test_files_of_one_call_may_refer_to_each_other_in_any_order(
    empty: Library, tmp_path: Path
) -> None:
    with empty as library:
        found = library.add(written(tmp_path, READINGS, BUILDS, RIGS, COMPONENTS))
    assert whats(found) == ALL


def test_adding_the_same_again_records_nothing(logged: Library, path: Path, tmp_path: Path) -> None:
    before = entries(path)
    found = logged.add(written(tmp_path, WHOLE))
    assert {each.what for each in found} == {"same"}
    assert entries(path) == before


def test_a_reading_that_a_document_holds_twice_is_recorded_once(
    library: Library, path: Path, tmp_path: Path
) -> None:
    before = len(entries(path))
    twice = READINGS + READINGS.removeprefix("readings:\n")
    assert [each.what for each in library.add(written(tmp_path, twice))].count("new") == 2
    assert len(entries(path)) == before + 2


def test_a_changed_thing_is_another_version_and_its_readings_are_of_that(
    logged: Library, tmp_path: Path
) -> None:
    text = BUILDS.replace("pivot: 487 mm", "pivot: 489 mm")
    text += READINGS.replace("2026-03-14", "2026-03-15")
    files = written(tmp_path, text)
    expected = [
        ("build", "a-cam", "changed", "2"),
        ("reading", "a-cam", "new", "2"),
        ("reading", "a-cam", "new", "2"),
    ]
    assert whats(logged.add(files, dry_run=True)) == expected
    assert whats(logged.add(files)) == expected


def test_readings_are_taken_in_their_own_order_whatever_that_of_the_document(
    library: Library, path: Path, tmp_path: Path
) -> None:
    text = """\
readings:
  - {build: a-cam, kind: drop, times: [2.6 s], on: 2026-03-14T10:00:00Z}
  - {build: a-cam, kind: drop, times: [3.1 s], settings: {pivot: 490 mm}, on: 2026-03-14T09:00:00Z}
"""
    library.add(written(tmp_path, text))
    *_, first, second = entries(path)
    assert (first.body["times"], second.body["times"]) == ([3.1], [2.6])
    assert second.body["stand"]["settings"]["pivot"] == 0.490


def test_all_mistakes_of_all_files_are_told_and_nothing_is_recorded(
    library: Library, path: Path, tmp_path: Path
) -> None:
    before = entries(path)
    one = "components: [{id: lens-50, kind: lense}, {id: lens-100, kind: lens, mass: 1.2 kg}]"
    two = READINGS.replace("a-cam", "b-cam")
    with pytest.raises(DocumentError) as caught:
        library.add(written(tmp_path, one, two))
    places = [(finding.file[-6:], finding.line) for finding in caught.value.findings]
    assert places == [("0.yaml", 2), ("1.yaml", 3), ("1.yaml", 4)]
    assert caught.value.message == "3 mistakes in 2 files: nothing was recorded"
    assert entries(path) == before


def test_a_document_may_name_what_the_library_has(library: Library, tmp_path: Path) -> None:
    text = BUILDS.replace("id: a-cam", "id: b-cam")
    assert whats(library.add(written(tmp_path, text))) == [("build", "b-cam", "new", "1")]


def test_an_id_that_is_another_kind_in_the_library_is_a_mistake(
    library: Library, tmp_path: Path
) -> None:
    with pytest.raises(DocumentError) as caught:
        library.add(written(tmp_path, "rigs: [{id: lens-35, type: post}]"))
    told = [finding.message for finding in caught.value.findings]
    assert "lens-35 id: the library has a component of that id" in told


def test_a_document_that_changes_a_forked_thing_is_refused_as_a_whole(
    library: Library, path: Path, tmp_path: Path
) -> None:
    fork(path, "component", "lens-35", {"cg_sd": 0.002}, {"cg_sd": 0.003})
    before = entries(path)
    text = KIT.replace("1.12 kg", "1.3 kg").replace("1.45 kg", "1.5 kg")
    files = written(tmp_path, text)
    for dry_run in (True, False):
        with pytest.raises(ForkError, match="lens-35 has 2 newest versions"):
            library.add(files, dry_run=dry_run)
    assert entries(path) == before


def test_a_document_that_says_what_one_head_says_is_no_change_of_a_fork(
    library: Library, path: Path, tmp_path: Path
) -> None:
    fork(path, "component", "lens-35", {"cg_sd": 0.002}, {"cg_sd": 0.003, "mass": 1.2})
    text = KIT.replace("mass: 1.12 kg", "mass: 1.2 kg, cg_sd: 3 mm")
    found = library.add(written(tmp_path, text))
    assert {each.what for each in found} == {"same"}


def test_a_reading_of_a_forked_build_is_refused(
    library: Library, path: Path, tmp_path: Path
) -> None:
    fork(path, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    files = written(tmp_path, READINGS)
    for dry_run in (True, False):
        with pytest.raises(ForkError, match="a-cam has 2 newest versions"):
            library.add(files, dry_run=dry_run)


def test_absurd_times_are_taken_and_doubted(library: Library, tmp_path: Path) -> None:
    text = READINGS.replace("2026-03-14T09:10", "1980-01-01T00:00")
    text = text.replace("2026-03-14T09:30", "2199-01-01T00:00")
    files = written(tmp_path, text)
    expected = [("new", "long ago"), ("new", "ahead")]
    assert [(each.what, each.doubt) for each in library.add(files, dry_run=True)] == expected
    assert [(each.what, each.doubt) for each in library.add(files)] == expected


def test_a_dash_is_standard_input(empty: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    class Stdin:
        buffer = io.BytesIO(KIT.encode())

    monkeypatch.setattr(sys, "stdin", Stdin())
    with empty as library:
        assert whats(library.add(["-"])) == ALL[:7]


def test_a_file_that_cannot_be_read_is_said_before_anything_is_checked(
    library: Library, tmp_path: Path
) -> None:
    with pytest.raises(CallError, match=r"cannot read .*nothing\.yaml"):
        library.add([*written(tmp_path, "builds: 3"), str(tmp_path / "nothing.yaml")])
