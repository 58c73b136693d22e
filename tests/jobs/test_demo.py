from __future__ import annotations

import json
import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from riglog.demo_db.generate import FOLDER, documents, logged, true_mark_m

from riglog import cli
from riglog.errors import CallError, LibraryError
from riglog.jobs.demo import BUILD, demo
from riglog.records import Drop

ROOT = Path(__file__).parents[2]
WANTED_S = 3.0


def run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "riglog", "demo", *words],
        capture_output=True, text=True, check=False,
    )  # fmt: skip


def test_the_documents_are_what_the_script_writes() -> None:
    written = {path.name: path.read_text("utf-8") for path in FOLDER.glob("*.yaml")}
    assert written == documents()


def test_documents_are_added_in_the_order_of_their_names_and_of_their_days() -> None:
    assert list(documents()) == sorted(documents())
    nouns = [noun for each in logged()[1].values() for noun in each]
    days = [noun.on for noun in nouns if isinstance(noun, Drop)]
    assert days == sorted(days)
    assert {day[:10] for day in days} == {"2026-03-13", "2026-03-14"}


def test_yesterdays_lens_goes_back_to_where_the_hidden_rig_wants_it() -> None:
    done = run("--json")
    assert (done.returncode, done.stderr) == (0, "")
    told = json.loads(done.stdout)
    pivot = next(each for each in told["swap"]["settings"] if each["adjuster"] == "pivot")
    truth_mm = 1000 * true_mark_m(WANTED_S)
    assert told["swap"]["build"] == BUILD
    assert told["swap"]["drop_s"] == WANTED_S
    assert pivot["low_mm"] < truth_mm < pivot["high_mm"]
    assert pivot["high_mm"] - pivot["low_mm"] < 3
    # What the swap moves is many times what is left in doubt.
    assert pivot["from_mm"] - pivot["high_mm"] > 10


def test_nothing_is_left_where_nothing_was_to_be_kept(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "riglog", "demo", "--json"]
    done = subprocess.run(
        command, capture_output=True, text=True, check=True, cwd=tmp_path,
        env={**os.environ, "TMPDIR": str(tmp_path)},
    )  # fmt: skip
    told = json.loads(done.stdout)
    assert (told["folder"], told["library"]) == (None, None)
    assert list(tmp_path.iterdir()) == []


def test_the_commands_that_are_shown_give_the_answer_that_is_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    kept = tmp_path / "salt road"
    done = run("--keep", str(kept))
    assert (done.returncode, done.stderr) == (0, "")
    assert f"  cd '{kept}'\n" in done.stdout
    (kept / "demo.db").unlink()
    monkeypatch.chdir(kept)
    block = done.stdout.split("\n\n")[1]
    for line in block.splitlines():
        capsys.readouterr()
        program, *words = line.split()
        assert program == "riglog"
        assert cli.main([*words, "--author", "kim"]) == 0
    assert capsys.readouterr().out.strip() in done.stdout


def test_the_demonstration_leaves_what_it_was_told_to_keep(tmp_path: Path) -> None:
    kept = tmp_path / "new" / "folder"
    told = json.loads(run("--keep", str(kept), "--json").stdout)
    assert told["library"] == str(kept / "demo.db")
    assert {path.name for path in kept.iterdir()} == {"demo.db", *documents()}
    assert told["entries"] == sum(len(each) for each in logged()[1].values())


def test_a_folder_with_something_in_it_stays_as_it_is(tmp_path: Path) -> None:
    mine = tmp_path / "day-0-kit.yaml"
    mine.write_text("mine")
    for taken in (tmp_path, mine):
        with pytest.raises(CallError, match="is not an empty folder"):
            demo(taken)
    assert [(path, path.read_text()) for path in tmp_path.iterdir()] == [(mine, "mine")]


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(LibraryError):
        demo(tmp_path / "file" / "below")


def test_every_package_of_the_tree_goes_into_the_wheel() -> None:
    listed = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]
    found = {
        ".".join(path.parent.relative_to(ROOT).parts) for path in ROOT.glob("riglog/**/__init__.py")
    }
    assert set(listed["packages"]) == found | {"riglog.demo_db"}
