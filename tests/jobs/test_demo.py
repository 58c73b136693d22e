from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tomllib
from collections import Counter
from pathlib import Path

import pytest
from riglog.demo_db.generate import FOLDER, KIT, RIGS, documents, logged, true_mark_m

from riglog import cli
from riglog.errors import CallError, LibraryError
from riglog.jobs.check import check
from riglog.jobs.demo import BUILD, demo
from riglog.jobs.demo_steps import STEPS
from riglog.library import Library
from riglog.records import Component, Drop
from riglog.records.measurements import Weighing
from riglog.records.weighing_scale import WeighingScale

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
    assert {day[:10] for day in days} == {"2026-03-12", "2026-03-13", "2026-03-14"}


def test_the_kit_is_that_of_a_shoot_and_two_people_log_it_on_two_machines() -> None:
    kit = [noun for noun in logged()[1][KIT] if isinstance(noun, Component)]
    kinds = Counter(each.kind for each in kit)
    wanted = {"camera": 2, "lens": 8, "battery": 2, "monitor": 2, "filter": 2, "post": 2}
    assert {kind: kinds[kind] for kind in wanted} == wanted
    assert (kinds["matte-box"], kinds["transmitter"], len(RIGS)) == (1, 1, 2)
    assert [step.what for step in STEPS if step.do == "add"] == list(documents())
    assert {(step.library, step.author) for step in STEPS if step.do == "add"} == {
        ("demo.db", "mira"), ("second.db", "jonas"),
    }  # fmt: skip


def test_every_mass_says_by_what_and_lenses_weighed_twice_say_on_which_scale() -> None:
    nouns = [noun for each in logged()[1].values() for noun in each]
    kit = [noun for noun in nouns if isinstance(noun, Component)]
    assert {each.by for each in kit} == {"bench scale", "maker's sheet"}
    scales = {each.id: each for each in nouns if isinstance(each, WeighingScale)}
    weighed = [each for each in nouns if isinstance(each, Weighing)]
    assert len(scales) == len(weighed) == 2
    true = logged()[0].kit
    for each in weighed:
        scale = scales[each.scale or ""]
        mass = true[each.component].mass
        assert mass is not None
        assert min(abs(kg - mass) for kg in each.shown) <= scale.linearity + scale.resolution


@pytest.fixture(scope="module")
def salt_road(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The library that the demonstration leaves."""
    folder = tmp_path_factory.mktemp("demo") / "kept"
    return folder / demo(folder).library


def test_a_fork_of_the_two_machines_was_settled_and_nothing_got_lost(salt_road: Path) -> None:
    with Library.open(salt_road, "") as library:
        log = library.logbook
        versions = log.versions("build", "a-cam")
        forked = [each for each in versions if "." in each.name]
        (settled,) = (each for each in versions if len(each.entry.parents) > 1)
        assert {each.entry.author for each in forked} == {"mira", "jonas"}
        assert set(settled.entry.parents) == {each.entry.id for each in forked}
        # What each of the two wrote is in it.
        assert settled.entry.body["tags"] == ["salt-road", "stairs"]
        assert "lens-75" in {part["component"] for part in settled.entry.body["parts"]}
        assert sum(1 for _ in log.log()) == sum(map(len, logged()[1].values())) + 1
        assert [len(log.heads("build", each)) for each in ("a-cam", "b-cam")] == [1, 1]


@pytest.mark.parametrize(
    ("build", "readings"),
    [
        ("a-cam", 11),
        ("b-cam", 11),
        ("ring-cam", 4),
        ("ring-head", 4),
        ("low-cam", 4),
        ("inch-cam", 4),
    ],
)
def test_careful_people_make_no_slips(salt_road: Path, build: str, readings: int) -> None:
    with Library.open(salt_road, "") as library:
        answer = check(library, build)
    assert len(answer.readings) >= readings
    assert answer.outstanding == []


@pytest.mark.parametrize(
    ("build", "says"),
    [
        ("ring-cam", "side pivots "),
        ("ring-head", "powered head balanced on it"),
        ("low-cam", "low mode"),
        ("inch-cam", " in, high mode"),
    ],
)
def test_there_is_a_rig_of_every_kind_to_ask_about(
    salt_road: Path, build: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["predict", build, "--db", str(salt_road)]) == 0
    assert says in " ".join(capsys.readouterr().out.split(" "))


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
    for library in ("demo.db", "second.db"):
        (kept / library).unlink()
    monkeypatch.chdir(kept)
    block = done.stdout.split("\n\n")[1]
    for line in block.splitlines():
        capsys.readouterr()
        program, *words = line.split()
        assert program == "riglog"
        assert cli.main(words) == 0
    assert capsys.readouterr().out.strip() in done.stdout


def test_the_demonstration_leaves_what_it_was_told_to_keep(tmp_path: Path) -> None:
    kept = tmp_path / "new" / "folder"
    told = json.loads(run("--keep", str(kept), "--json").stdout)
    assert told["library"] == str(kept / "demo.db")
    assert {path.name for path in kept.iterdir()} == {"demo.db", "second.db", *documents()}
    # One of them settles a fork.
    assert told["entries"] == sum(len(each) for each in logged()[1].values()) + 1


def test_every_figure_of_the_documents_is_as_a_person_would_write_it() -> None:
    for name, text in documents().items():
        assert not re.findall(r"\d+\.\d{6,}", text), name


def test_a_folder_with_something_in_it_stays_as_it_is(tmp_path: Path) -> None:
    mine = tmp_path / KIT
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
