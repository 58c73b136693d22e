"""Spreadsheets in and out, through the real program and a real library."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]

MAPPING = """\
riglog_import: 1
rows: components
columns:
  id: {column: Item, slug: true}
  kind: Type
  mass: Weight
  serial: Serial
  note: Remarks
"""
SHEET = """\
Item;Type;Weight (kg);Serial;Remarks
Lens 50;lens;1,31;0123;=soft? ask
Lens 65;lens;1,85;25921e05;16:9
"""
# What export gives, taken in again.
BACK = """\
riglog_import: 1
rows: components
columns:
  id: id
  kind: kind
  mass: mass
  mass_sd: mass_sd
  by: by
  size: [long, wide, tall]
  shape: shape
  cg: [cg x, cg y, cg z]
  cg_sd: cg_sd
  like: like
  serial: serial
  modified: modified
  tags: {column: tags, split: ";"}
  note: note
"""


@pytest.fixture
def files(tmp_path: Path) -> tuple[str, str]:
    sheet, mapping = tmp_path / "kit.csv", tmp_path / "map.yaml"
    sheet.write_bytes(b"\xef\xbb\xbf" + SHEET.replace("=soft", "soft").encode())
    mapping.write_text(MAPPING)
    return str(sheet), str(mapping)


def entries(riglog: Riglog) -> int:
    return len(json.loads(riglog("list", "components", "--json").out))


def test_a_dry_run_shows_what_each_row_becomes_and_records_nothing(
    riglog: Riglog, files: tuple[str, str]
) -> None:
    riglog("init")
    done = riglog("import", files[0], "--map", files[1], "--dry-run")
    assert done.status == 0
    assert done.out.startswith("Would record 2 components.\n\nrow 2: new component lens-50: ")
    assert "mass 1.31 kg" in done.out
    assert "serial 0123" in done.out
    assert entries(riglog) == 0


def test_rows_are_recorded_once(riglog: Riglog, files: tuple[str, str]) -> None:
    riglog("init")
    done = riglog("import", files[0], "--map", files[1])
    assert (done.status, done.out) == (0, "Recorded 2 components.\n")
    again = json.loads(riglog("import", files[0], "--map", files[1], "--json").out)
    assert [(row["row"], row["id"], row["what"]) for row in again["rows"]] == [
        (2, "lens-50", "same"), (3, "lens-65", "same"),
    ]  # fmt: skip
    assert "serial: 25921e05\n" in riglog("show", "lens-65").out


def test_readings_keep_their_rows_though_they_are_recorded_as_they_were_taken(
    riglog: Riglog, kit: str, tmp_path: Path
) -> None:
    assert kit
    sheet, mapping = tmp_path / "drops.csv", tmp_path / "drops.yaml"
    sheet.write_text(
        "When,Drop (s),Mark (mm)\n2026-03-16T10:00+00:00,2.8,489\n2026-03-16T09:00+00:00,3.1,487\n"
    )
    mapping.write_text(
        "riglog_import: 1\nrows: readings\nalways: {kind: drop, build: a-cam}\n"
        "columns: {on: When, times: {column: Drop, split: /}, settings.pivot: Mark}\n"
    )
    done = riglog("import", str(sheet), "--map", str(mapping), "--json")
    rows = json.loads(done.out)["rows"]
    assert [row["row"] for row in rows] == [2, 3]
    first = json.loads(riglog("show", rows[0]["entry"], "--json").out)
    assert "2.8" in json.dumps(first)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (SHEET, 'kit.csv:2: Remarks: "=soft? ask" is a formula'),
        (SHEET + "Lens 70;lens\n", "kit.csv:4: 2 cells stand"),
        (SHEET + "Lens 70;lens;2.5;1;\n", "kit.csv:4: figures have the decimal mark"),
        ("Item;Type;Weight (kg);Serial;Remarks\nA;lens;1,250;;\n", '"1,250" can be 1250 and 1.250'),
    ],
)  # fmt: skip
def test_a_row_that_cannot_be_is_refused_and_nothing_recorded(
    riglog: Riglog, files: tuple[str, str], db: Path, tmp_path: Path, text: str, told: str
) -> None:
    riglog("init")
    before = db.read_bytes()
    (tmp_path / "kit.csv").write_text(text)
    done = riglog("import", files[0], "--map", files[1])
    assert (done.status, done.out) == (2, "")
    assert told in done.err
    assert "nothing was recorded" in done.err
    assert db.read_bytes() == before


def test_components_go_out_and_come_back_the_same(riglog: Riglog, kit: str, tmp_path: Path) -> None:
    assert kit
    sheet, mapping = tmp_path / "out.csv", tmp_path / "back.yaml"
    mapping.write_text(BACK)
    done = riglog("export", "components", "-o", str(sheet))
    assert done.status == 0
    assert sheet.read_bytes().startswith(b"\xef\xbb\xbfid,")
    other = str(tmp_path / "other.db")
    riglog("init", "--db", other)
    assert riglog("import", str(sheet), "--map", str(mapping), "--db", other).status == 0
    there = riglog("export", "components", "--db", other).out
    assert there == riglog("export", "components").out
    assert "lens-35,lens,1.12," in there


def test_texts_that_would_run_in_a_spreadsheet_are_guarded_and_come_back(
    riglog: Riglog, tmp_path: Path
) -> None:
    document = tmp_path / "kit.yaml"
    document.write_text(
        "riglog: 1\ncomponents:\n"
        "  - {id: a, kind: lens, note: '@kim: =1+1', cg: [-5 mm, 0 mm, 0 mm]}\n"
    )
    riglog("init")
    riglog("add", str(document))
    (row,) = csv.DictReader(io.StringIO(riglog("export", "components").out))
    assert row["note"] == "'@kim: =1+1"
    assert row["cg x (mm)"] == "-5.0"
    sheet, mapping = tmp_path / "out.csv", tmp_path / "back.yaml"
    mapping.write_text(BACK)
    riglog("export", "components", "-o", str(sheet))
    assert riglog("import", str(sheet), "--map", str(mapping)).out.startswith("Nothing new.")


def test_builds_and_readings_go_out_with_a_column_for_each_adjuster(
    riglog: Riglog, kit: str
) -> None:
    assert kit
    riglog("drop", "a-cam", "3.1", "3.0", "--mark", "487mm")
    builds = list(csv.DictReader(io.StringIO(riglog("export", "builds").out)))
    assert "settings.pivot (mm)" in builds[0]
    assert "lens-35 on " in builds[0]["parts"]
    readings = list(csv.DictReader(io.StringIO(riglog("export", "readings").out)))
    drop = next(each for each in readings if each["times_s"] == "3.1; 3")
    assert (drop["build"], drop["kind"], drop["settings.pivot (mm)"]) == ("a-cam", "drop", "487.0")
    told = json.loads(riglog("export", "readings", "--json").out)
    assert len(told) == len(readings)


def test_the_whole_library_goes_out_as_json_lines_and_comes_back_under_the_same_ids(
    riglog: Riglog, kit: str, tmp_path: Path
) -> None:
    assert kit
    riglog("drop", "a-cam", "3.1", "--mark", "487mm")
    lines, other = tmp_path / "house.jsonl", str(tmp_path / "other.db")
    assert riglog("export", "library", "-o", str(lines)).status == 0
    assert all(json.loads(line) for line in lines.read_text().splitlines())
    riglog("init", "--db", other)
    assert riglog("merge", str(lines), "--db", other).status == 0
    for kind in ("components", "rigs", "builds", "readings"):
        here, there = (
            json.loads(riglog("list", kind, "--json", *at).out) for at in ([], ["--db", other])
        )
        assert [each["entry"] for each in there] == [each["entry"] for each in here]
        assert here


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["export", "lenses"], "is nothing to export"),
        (["export", "library"], "add -o FILE"),
        (["export", "components", "-o", "/nowhere/at/all.csv"], "cannot write /nowhere"),
        (["import", "none.csv", "--map", "none.yaml"], "cannot read none.yaml"),
    ],
)
def test_what_cannot_go_in_or_out_is_told(
    riglog: Riglog, kit: str, words: list[str], told: str
) -> None:
    assert kit
    done = riglog(*words)
    assert (done.status, done.out) == (2, "")
    assert told in done.err
