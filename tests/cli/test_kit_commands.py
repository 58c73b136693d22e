from __future__ import annotations

import json
from typing import TYPE_CHECKING

from library.kit import READINGS, WHOLE, entries, fork, written

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]


def test_a_kit_is_added_once(riglog: Riglog, db: Path, tmp_path: Path) -> None:
    (file,) = written(tmp_path, WHOLE)
    assert riglog("init").out.startswith(f"A new library: {db}\n")
    told = "5 components, 1 rig, 1 build and 2 readings"
    assert riglog("add", file, "--dry-run").out == f"Would record {told}.\n"
    assert riglog("add", file).out == f"Recorded {told}.\n"
    assert riglog("add", file).out == f"Nothing new.\nThe same as before: {told}.\n"
    assert len(entries(db)) == 9


def test_what_was_recorded_is_told_in_json(riglog: Riglog, kit: str, db: Path) -> None:
    found = json.loads(riglog("add", kit, "--json").out)
    assert (found["dry_run"], found["warnings"]) == (False, [])
    assert [each["entry"] for each in found["recorded"]] == [entry.id for entry in entries(db)]


def test_changed_things_are_named_with_their_versions(
    riglog: Riglog, kit: str, tmp_path: Path
) -> None:
    assert kit
    done = riglog("add", *written(tmp_path, WHOLE.replace("1.12 kg", "1.15 kg")))
    assert "Recorded 1 component.\nNew versions: lens-35@2.\n" in done.out


def test_a_time_that_cannot_be_right_is_recorded_and_told(
    riglog: Riglog, kit: str, tmp_path: Path
) -> None:
    assert kit
    file = written(tmp_path, READINGS.replace("2026-03-14T09:30", "2190-03-14T09:30"))
    found = json.loads(riglog("add", *file, "--json").out)
    assert [each["code"] for each in found["warnings"]] == ["clock_ahead"]
    assert "2190-03-14 09:30" in found["warnings"][0]["message"]


def test_what_there_is_stands_in_a_table(riglog: Riglog, kit: str) -> None:
    assert kit
    assert riglog("list", "builds").out == (
        "BUILD  VERSION  RIG           MARK   DROP  WHEN        WHO\n"
        "a-cam  1        post-one  490.0 mm  2.6 s  2026-03-14  kim\n"
    )
    assert riglog("list", "rigs").out.splitlines()[1].split()[:4] == [
        "post-one",
        "1",
        "post",
        "380",
    ]
    heading, *rows = riglog("list", "components").out.splitlines()
    assert heading.split() == ["COMPONENT", "VERSION", "KIND", "MASS", "BY", "RECORDED", "WHO"]
    assert [row.split()[0] for row in rows] == [
        "body-north", "lens-35", "lens-75", "slide", "slide-2",
    ]  # fmt: skip
    assert riglog("list", "readings").out.splitlines()[1].startswith("a-cam  2026-03-14 09:30")


def test_nothing_is_said_to_be_nothing(riglog: Riglog) -> None:
    riglog("init")
    assert riglog("list", "readings").out == "There are no readings yet.\n"
    assert json.loads(riglog("list", "readings", "--json").out) == []


def test_lists_are_arrays_in_json(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    (build,) = json.loads(riglog("list", "builds", "--json").out)
    expected = {"build": "a-cam", "version": 1, "pivot_mm": 490.0, "drop_s": 2.6, "forked": False}
    assert {key: build[key] for key in expected} == expected
    latest, _ = json.loads(riglog("list", "readings", "--json").out)
    assert (latest["times_s"], latest["release_deg"], latest["kind"]) == ([2.6], 90.0, "drop")
    assert latest["entry"] == entries(db)[-1].id
    parts = {each["component"]: each["mass_kg"] for each in json.loads(
        riglog("list", "components", "--json").out
    )}  # fmt: skip
    assert parts["lens-35"] == 1.12
    assert parts["slide-2"] is None


def test_what_is_shown_is_a_document_that_adds_nothing(
    riglog: Riglog, kit: str, tmp_path: Path
) -> None:
    assert kit
    for name in ("a-cam", "lens-35", "slide-2", "post-one"):
        shown = riglog("show", name).out
        assert shown.startswith(f"# {name}@1, recorded ")
        done = riglog("add", *written(tmp_path, f"riglog: 1\n{shown.replace('riglog: 1', '')}"))
        assert "Nothing new." in done.out


def test_a_build_is_shown_with_where_it_stands(riglog: Riglog, kit: str) -> None:
    assert kit
    told = "# stands, since 2026-03-14 09:30: pivot 490.0 mm, stage-side -1.0 mm,"
    assert told in riglog("show", "a-cam").out
    found = json.loads(riglog("show", "a-cam", "--json").out)
    assert found["document"]["wanted_drop"] == "3 s"
    assert found["settings"][0] == {"adjuster": "pivot", "at_mm": 490.0}


def test_a_history_is_told_newest_first(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    heading, _, *lines = riglog("history", "a-cam").out.splitlines()
    assert heading == "a-cam, a build: 1 version, 2 readings, newest first"
    short = [entry.id[:8] for entry in entries(db)[-2:]]
    assert lines[0].split("  ")[-1] == f"drop 2.6 s at 490.0 mm [{short[1]}]"
    assert lines[1].split("  ")[-1] == f"drop 3.1, 3.0 s at 487.0 mm [{short[0]}]"
    assert lines[2].startswith("@1 ")
    events = json.loads(riglog("history", "a-cam", "--json").out)
    assert [each["event"] for each in events] == ["reading", "reading", "version"]


def test_a_forked_build_is_answered_with_both_heads(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    heads = fork(db, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    names = [f"a-cam@2.{head.id[:4]}" for head in heads]
    for words in (["predict", "a-cam"], ["show", "a-cam"], ["drop", "a-cam", "3.1"]):
        done = riglog(*words, "--json")
        error = json.loads(done.out)["error"]
        assert (done.status, error["status"]) == (3, 3)
        assert all(name in error["hint"] for name in names)
    assert riglog("show", names[0]).status == 0
    assert riglog("predict", names[1]).status == 0
    told = riglog("history", "a-cam").out
    assert f"Forked: {names[1]} and {names[0]} are both newest" in told
    assert told.count("note (from @1)") == 2
    assert riglog("list", "builds").out.endswith("nobody settled which counts: a-cam.\n")


def test_a_build_in_use_is_meant_where_none_is_named(riglog: Riglog, kit: str) -> None:
    assert kit
    assert riglog("predict").status == 2
    assert riglog("use", "cam").out.startswith("In use: a-cam.")
    assert json.loads(riglog("predict", "--json").out)["build"] == "a-cam"
    assert json.loads(riglog("use", "cam", "--json").out) == {"build": "a-cam", "author": "kim"}


def test_a_library_that_is_sound_is_said_to_be(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    # A long path goes on a line of its own.
    assert " ".join(riglog("audit").out.split()).startswith(f"Sound: {db} ")
    found = json.loads(riglog("audit", "--json").out)
    known = found["fingerprint"]
    assert found == {"path": str(db), "entries": 9, "fingerprint": known, "against": None}
    told = riglog("audit", "--against", known).out.splitlines()
    assert told[-1] == f"Fingerprint: {known}"
    assert f"All of {known} is there." in told
    assert json.loads(riglog("rebuild", "--json").out) == {"path": str(db), "entries": 9}
    copy = db.with_name("copy.db")
    assert riglog("backup", str(copy)).out == (
        f"A copy, checked: {copy}\n9 entries, fingerprint {known}.\n"
    )
    assert riglog("backup", str(copy)).status == 2
