"""What was said of things, listed; and a correction that is only tried."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from library.kit import READINGS, entries, written

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]


def told(riglog: Riglog, *words: str) -> Any:
    done = riglog(*words, "--json")
    assert done.status == 0, done.err
    return json.loads(done.out)


def of(said: Any) -> tuple[str, ...]:
    about = said["about"][0] if said.get("about") else said
    return about["kind"], about["id"]


@pytest.mark.parametrize("kind", ["names", "tags", "notes"])
def test_where_nothing_was_said_nothing_is_listed(riglog: Riglog, kit: str, kind: str) -> None:
    assert kit
    assert told(riglog, "list", kind) == []
    assert riglog("list", kind).out == f"There are no {kind} yet.\n"


def test_named_states_are_listed_with_what_they_are_of(riglog: Riglog, kit: str) -> None:
    assert kit
    riglog("name", "a-cam", "night-wide")
    riglog("name", "lens-35", "as-bought")
    names = told(riglog, "list", "names")
    assert [(each["words"], *of(each["said"])) for each in names] == [
        ("as-bought", "component", "lens-35"), ("night-wide", "build", "a-cam"),
    ]  # fmt: skip
    rows = [line.split()[:3] for line in riglog("list", "name").out.splitlines()]
    assert rows[2] == ["night-wide", "a-cam@1", "kim"]


def test_tags_are_listed_wherever_they_stand_and_not_once_taken_off(
    riglog: Riglog, kit: str, tmp_path: Path
) -> None:
    assert kit
    riglog("tag", "lens-35", "rain", "night")
    document = f"riglog: 1\n{READINGS}".replace("kind: drop,", "kind: drop, tags: [stairs],")
    assert riglog("add", *written(tmp_path, document)).status == 0
    riglog("tag", "lens-35", "night", "--remove")
    tags = told(riglog, "list", "tags")
    assert [(each["words"], each["said"]["kind"]) for each in tags] == [
        ("rain", "tag"), ("stairs", "reading"),
    ]  # fmt: skip
    assert "a-cam drop" in riglog("list", "tags").out


def test_notes_are_listed_newest_first_and_keep_to_80_columns(riglog: Riglog, kit: str) -> None:
    assert kit
    riglog("note", "a-cam", "wobbles", "above", "5", "s")
    riglog("note", "lens-35", *["rattles"] * 20)
    notes = told(riglog, "list", "notes")
    assert [each["said"]["id"] for each in notes] == ["lens-35", "a-cam"]
    assert notes[1]["words"] == "wobbles above 5 s"
    assert max(map(len, riglog("list", "notes").out.splitlines())) <= 80


def test_a_correction_is_tried_and_nothing_recorded(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    before = entries(db)
    words = ("correct", "lens-35", "mass=1.2 kg")
    tried = told(riglog, *words, "--dry-run")
    assert (tried["changed"], tried["new"], tried["dry_run"]) == (["mass"], None, True)
    out = riglog(*words, "--dry-run").out
    assert out == "Would correct mass: a new entry would take the place of lens-35@1.\n"
    assert riglog("correct", "lens-35", "mass=1.12 kg", "--dry-run").out.startswith("Nothing new")
    assert riglog("correct", "lens-35", "mass=1.2 s", "--dry-run").status == 2
    assert entries(db) == before
    done = told(riglog, *words)
    assert (done["changed"], done["dry_run"]) == (["mass"], False)
