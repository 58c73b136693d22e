"""That the words of a question reach its job; what it answers is the job's own matter."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from library.kit import entries

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]


def test_the_very_first_command_on_an_empty_machine_may_be_a_drop(riglog: Riglog, db: Path) -> None:
    done = riglog("drop", "new-post", "3.1", "3.0", "--mark", "487mm", "--want", "3s", "--json")
    found = json.loads(done.out)
    assert done.err == f"A new library: {db}\n"
    assert (done.status, found["build"]) == (0, "new-post")
    *_, last = entries(db)
    assert (last.id, last.kind, last.body["times"]) == (found["recorded"], "reading", [3.1, 3.0])


def test_a_drop_without_a_name_makes_no_library(riglog: Riglog, db: Path) -> None:
    assert riglog("drop", "3.1").status == 4
    assert not db.exists()


@pytest.mark.parametrize(
    ("words", "times"),
    [
        (["3.1"], [3.1]),
        (["a-cam", "3.1", "3s"], [3.1, 3.0]),
        (["cam", "3100ms"], [3.1]),
        ([".9"], [0.9]),
    ],
)
def test_a_first_word_that_is_no_figure_is_the_build(
    riglog: Riglog, kit: str, db: Path, words: list[str], times: list[float]
) -> None:
    assert kit
    riglog("use", "a-cam")
    assert riglog("drop", *words).status == 0
    assert entries(db)[-1].body["times"] == times


@pytest.mark.parametrize("word", ["3,1", "3.1kg", "3sec", "1e3", "nan", "-3"])
def test_a_time_that_is_none_records_nothing(riglog: Riglog, kit: str, db: Path, word: str) -> None:
    assert kit
    before = entries(db)
    assert riglog("drop", "a-cam", word).status == 2
    assert entries(db) == before


def test_all_that_is_said_of_a_drop_is_recorded(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    words = "--mark 488 --method clip --from up --fps 50 --release 60deg --tag windy --tag dusk"
    words += " --condition wind --condition tether --condition wind"
    note = ["--note", "after lunch", "--on", "2026-03-14T13:00:00+01:00"]
    assert riglog("drop", "a-cam", "1.9", *words.split(), *note).status == 0
    body = dict(entries(db)[-1].body)
    assert body.pop("stand")["settings"]["pivot"] == 0.488
    assert body == {
        "build": "a-cam",
        "kind": "drop",
        "times": [1.9],
        "settings": {"pivot": 0.488},
        "method": "clip",
        "nose": "up",
        "fps": 50,
        "release": pytest.approx(1.0471975512),
        "on": "2026-03-14T13:00:00+01:00",
        "conditions": ["wind", "tether"],
        "tags": ["windy", "dusk"],
        "note": "after lunch",
    }


def test_a_swap_is_answered_with_every_adjuster(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    before = entries(db)
    done = riglog("swap", "a-cam", "lens-35=lens-75", "--drop", "3s", "--json")
    found = json.loads(done.out)
    assert (done.status, done.err) == (0, "")
    assert {each["adjuster"]: each["from_mm"] for each in found["settings"]} == {
        "pivot": 490.0,
        "stage-side": -1.0,
        "slide-2.run": 12.7,
    }
    assert entries(db) == before


def test_the_words_of_a_swap_reach_its_job(riglog: Riglog, kit: str) -> None:
    assert kit
    riglog("use", "a-cam")
    words = ["lens-35=lens-75", "--hold", "slide-2.run", "--set", "pivot=492", "--drop", "2.5"]
    found = json.loads(riglog("swap", *words, "--json").out)
    told = {each["adjuster"]: each for each in found["settings"]}
    assert found["drop_s"] == 2.5
    assert told["pivot"]["from_mm"] == 492.0
    assert told["slide-2.run"]["move_mm"] == 0.0


def test_a_swap_that_is_saved_is_a_build(riglog: Riglog, kit: str) -> None:
    assert kit
    found = json.loads(riglog("swap", "a-cam", "lens-35=lens-75", "--save", "b-cam", "--json").out)
    assert found["saved"] == "b-cam"
    parts = json.loads(riglog("show", "b-cam", "--json").out)["document"]["parts"]
    assert [part["component"] for part in parts] == ["slide-2", "body-north", "lens-75"]


def test_neutral_takes_no_library(riglog: Riglog, db: Path) -> None:
    done = riglog("neutral", "487mm=3.0", "495mm=1.8", "--want", "5s", "--json")
    found = json.loads(done.out)
    assert {"neutral_mm", "gyration_mm", "mark_mm"} <= set(found)
    assert set(found["mark_mm"]) == {"value", "low", "high"}
    assert not db.exists()
