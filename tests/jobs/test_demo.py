from __future__ import annotations

import json
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from riglog.demo_db.generate import FOLDER, Truth, build, documents

from riglog.errors import CallError
from riglog.jobs.demo import BUILD, demo

ROOT = Path(__file__).parents[2]


def test_the_documents_are_what_the_script_writes() -> None:
    written = {path.name: path.read_text("utf-8") for path in FOLDER.glob("*.yaml")}
    assert written == documents()


def test_yesterdays_lens_goes_back_to_where_the_hidden_rig_wants_it(tmp_path: Path) -> None:
    answer = demo(tmp_path / "kept").swap
    pivot = next(move for move in answer.moves if move.name == "pivot")
    truth = Truth().mark_m(build(BUILD, "body-wren", "lens-40"), answer.wanted_s)
    assert pivot.low_m is not None
    assert pivot.high_m is not None
    assert pivot.low_m < truth < pivot.high_m
    assert pivot.high_m - pivot.low_m < 0.003
    assert answer.first.pivot_m >= truth - 0.0005


def test_the_demonstration_leaves_what_it_was_told_to_keep(tmp_path: Path) -> None:
    answer = demo(tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == [*answer.documents, answer.library]
    with pytest.raises(CallError, match=r"there is a demo\.db in .* already"):
        demo(tmp_path)


def test_the_demonstration_runs_as_a_program_and_answers_in_json() -> None:
    command = [sys.executable, "-m", "riglog", "demo", "--json"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    told = json.loads(done.stdout)
    assert told["folder"] is None
    assert told["swap"]["build"] == BUILD
    assert told["swap"]["first"]["pivot_mm"] == 551.5
    assert done.stderr == ""


def test_every_package_of_the_tree_goes_into_the_wheel() -> None:
    listed = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]
    found = {
        ".".join(path.parent.relative_to(ROOT).parts) for path in ROOT.glob("riglog/**/__init__.py")
    }
    assert set(listed["packages"]) == found | {"riglog.demo_db"}
