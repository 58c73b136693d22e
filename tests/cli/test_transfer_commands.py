"""Handing over and taking in, as people type it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from library.kit import WHOLE, entries, fork, written

from riglog.logbook import Logbook

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]


@pytest.fixture
def theirs(db: Path) -> Path:
    """Where somebody else's library may be."""
    return db.with_name("theirs.db")


def object_of(done: Done) -> dict[str, object]:
    assert done.status == 0, done.err
    told: dict[str, object] = json.loads(done.out)
    return told


def test_a_library_goes_by_a_bundle_to_another_machine_and_answers_there_alike(
    riglog: Riglog, kit: str, db: Path, theirs: Path
) -> None:
    assert kit
    target = db.with_name("all.bundle")
    told = object_of(riglog("bundle", "-o", str(target), "--json"))
    assert (told["path"], told["entries"]) == (str(target), len(entries(db)))
    done = riglog("merge", str(target), "--db", str(theirs))
    assert done.status == 0
    first, _, second, *_ = done.out.splitlines()
    assert first == "Merged 9 new entries: 5 components, 2 readings, 1 build and 1 rig, of kim."
    assert second == f"A new library: {theirs}"
    for words in (["predict", "a-cam"], ["swap", "a-cam", "lens-35=lens-75"], ["list", "builds"]):
        assert riglog(*words, "--db", str(theirs)) == riglog(*words)


def test_a_dry_run_prints_the_plan_of_the_run(
    riglog: Riglog, kit: str, db: Path, theirs: Path, tmp_path: Path
) -> None:
    assert kit
    riglog("init", "--db", str(theirs))
    dry = riglog("merge", str(db), "--dry-run", "--db", str(theirs))
    assert entries(theirs) == []
    wet = riglog("merge", str(db), "--db", str(theirs))
    plan, _, fingerprint = wet.out.rpartition("\n\n")
    assert plan.replace("Merged", "Would merge") == dry.out.rstrip("\n")
    assert fingerprint.startswith("Fingerprint now: 9-")
    new = tmp_path / "new.db"
    dry = riglog("merge", str(db), "--dry-run", "--db", str(new))
    assert not new.exists()
    wet = riglog("merge", str(db), "--db", str(new))
    plan, _, _ = wet.out.rpartition("\n\n")
    assert plan.replace("Merged", "Would merge").replace(
        "A new library", "It would make a new library"
    ) == dry.out.rstrip("\n")


def test_a_fork_is_told_with_the_command_that_settles_it(
    riglog: Riglog, kit: str, db: Path, theirs: Path
) -> None:
    assert kit
    riglog("merge", str(db), "--db", str(theirs))
    fork(db, "build", "a-cam", {"note": "here"})
    fork(theirs, "build", "a-cam", {"note": "there"})
    dry = riglog("merge", str(theirs), "--dry-run", "--json")
    done = riglog("merge", str(theirs))
    assert "Forked: a-cam has 2 newest versions, " in done.out
    # What it calls them can be typed, and is what the others call them too.
    called = [f"a-cam@{head['name']}" for head in object_of(dry)["forks"][0]["heads"]]
    assert [word for word in done.out.split() if word.startswith("a-cam@")] == called
    first, second = called
    assert all(each in riglog("settle", "a-cam").out for each in called)
    assert "note: here" in "".join(riglog("show", each).out for each in called)
    assert riglog("diff", first, second).status == 0
    assert riglog("settle", "a-cam", "--take", second, "--dry-run").status == 0
    assert "  riglog settle a-cam" in done.out.splitlines()
    told = object_of(riglog("merge", str(theirs), "--json"))
    assert (told["new"], told["forks"]) == (0, [])


def test_of_a_fork_of_parts_only_what_differs_is_shown_and_how(
    riglog: Riglog, kit: str, db: Path
) -> None:
    """One person moved a part that the other moved elsewhere: their names alone would not tell."""
    assert kit
    with Logbook.open(db) as log:
        (head,) = log.heads("build", "a-cam")
    moved = [[{**head.body["parts"][0], "offset": [x, 0, 0]}, *head.body["parts"][1:]]
             for x in (0.005, 0.01)]  # fmt: skip
    heads = fork(db, "build", "a-cam", *({"parts": parts} for parts in moved))
    at, out = [f"@2.{each.id[:4]}" for each in heads], riglog("settle", "a-cam").out
    assert "\nparts.slide-2.offset, both\n" in out
    assert f"  {at[0]}  5 mm, 0 mm, 0 mm\n" in out
    assert f"  {at[1]}  10 mm, 0 mm, 0 mm\n" in out
    assert out.endswith(f"--join --field parts.slide-2.offset={at[0][1:]}\n")
    assert "body-north" not in out


def test_a_fork_of_a_scale_is_settled_like_any_other(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    scale = db.with_name("scale.yaml")
    scale.write_text("riglog: 1\nscales: [{id: loft, resolution: 1 g}]\n")
    assert riglog("add", str(scale)).status == 0
    heads = fork(db, "scale", "loft", {"resolution": 0.002}, {"resolution": 0.005})
    assert f"  @2.{heads[0].id[:4]}  2 g\n" in riglog("settle", "loft").out
    assert riglog("settle", "loft", "--take", heads[1].id[:8]).status == 0
    assert "resolution: 5 g" in riglog("show", "loft").out
    assert riglog("correct", "loft", "resolution=1 g").status == 0
    assert "loft resolution 1 g" in riglog("who", "loft", "resolution").out


def test_a_bundle_is_a_file_and_no_stream_of_answers(
    riglog: Riglog, kit: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert kit
    monkeypatch.chdir(tmp_path)
    done = riglog("bundle", "-o", "-")
    assert (done.status, done.out) == (2, "")
    assert not (tmp_path / "-").exists()


def test_a_broken_bundle_makes_no_library(riglog: Riglog, kit: str, db: Path, theirs: Path) -> None:
    assert kit
    target = db.with_name("all.bundle")
    riglog("bundle", "-o", str(target))
    target.write_bytes(target.read_bytes()[:-200])
    done = riglog("merge", str(target), "--db", str(theirs), "--json")
    assert (done.status, theirs.exists()) == (2, False)
    error = json.loads(done.out)["error"]
    assert error["message"].endswith("nothing was merged")
    assert done.err.startswith(f"{target}:")
    assert "Traceback" not in done.err


def test_parts_and_what_is_new(riglog: Riglog, kit: str, db: Path, theirs: Path) -> None:
    assert kit
    stick = db.with_name("stick")
    stick.mkdir()
    first = riglog("bundle", "a", "-o", str(stick))
    assert "holds        a-cam with what each needs" in first.out
    (bundle,) = stick.iterdir()
    riglog("drop", "a-cam", "3.1")
    riglog("merge", str(stick), "--db", str(theirs))
    again = riglog("bundle", "-o", str(stick / "new.bundle"), "--since", "yesterday", "--json")
    assert object_of(again)["entries"] == len(entries(db))
    assert riglog("bundle", "-o", str(stick), "--since", str(bundle)).status == 0
    lost = riglog("bundle", "-o", str(stick), "--since", "freitag")
    assert (lost.status, lost.out) == (2, "")
    assert '"freitag" is neither a bundle nor a day' in lost.err
    assert riglog("merge", str(stick), "--db", str(theirs)).status == 0
    assert {e.id for e in entries(theirs)} == {e.id for e in entries(db)}


def test_what_cannot_be_is_said(riglog: Riglog, kit: str, db: Path) -> None:
    assert riglog("bundle", "-o", str(db)).err.startswith(f"riglog: {str(db)!r} is there, and no")
    assert riglog("bundle", "no-cam", "-o", "x.bundle").status == 3
    assert "is the library itself" in riglog("merge", str(db)).err
    assert "neither a bundle nor a library" in riglog("merge", kit).err
    assert riglog("merge", "nowhere.bundle").status == 2
    assert riglog("bundle").status == 2


def test_the_same_kit_written_down_on_two_machines_merges_without_a_word(
    riglog: Riglog, kit: str, db: Path, theirs: Path, tmp_path: Path
) -> None:
    assert kit
    folder = tmp_path / "theirs"
    folder.mkdir()
    (file,) = written(folder, WHOLE)
    riglog("init", "--db", str(theirs))
    assert riglog("add", file, "--db", str(theirs), "--author", "noor").status == 0
    done = riglog("merge", str(theirs))
    assert "Forked" not in done.out
    assert len(entries(db)) == 18
