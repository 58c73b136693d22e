"""Rows of spreadsheets to nouns, by a mapping."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest
import yaml

from riglog.errors import DocumentError
from riglog.interchange.mapping import SheetMapping, read_mapping
from riglog.interchange.sheets import document_from, rows_of
from riglog.interchange.tables import table_of
from riglog.records import Build, Component, Drop, PivotPair

if TYPE_CHECKING:
    from riglog.interchange.document import Document

SCHEMA = Path(__file__).parents[2] / "schemas" / "import.schema.json"


def mapped(folder: Path, **keys: Any) -> SheetMapping:
    file = folder / "map.yaml"
    file.write_text(yaml.safe_dump({"riglog_import": 1, "rows": "components", **keys}))
    return read_mapping(str(file))


def read(folder: Path, text: str, **keys: Any) -> Document:
    return document_from(table_of(text, "kit.csv"), mapped(folder, **keys))


def told(document: Document) -> list[str]:
    return list(map(str, document.findings))


def test_a_row_becomes_the_noun_that_a_document_would_say(tmp_path: Path) -> None:
    document = read(
        tmp_path,
        "Item;Type;Weight (kg);L [mm];W [mm];H [mm];Serial;Tags\n"
        "Lens 35;Objektiv;1,12;120;95;95;0123;prime, rental\n",
        columns={
            "id": {"column": "Item", "slug": True},
            "kind": {"column": "Type", "words": {"Objektiv": "lens"}},
            "mass": "Weight",
            "size": ["L", "W", "H"],
            "serial": "Serial",
            "tags": {"column": "Tags", "split": ","},
        },
        always={"by": "bench scale"},
    )
    assert told(document) == []
    assert list(rows_of(document)) == [
        (
            2,
            Component(
                id="lens-35",
                kind="lens",
                mass=1.12,
                size=(0.12, 0.095, 0.095),
                serial="0123",
                tags=("prime", "rental"),
                by="bench scale",
            ),
        )
    ]


@pytest.mark.parametrize(
    ("head", "cell", "unit", "mass"),
    [
        ("Mass", "1.5 kg", None, 1.5),
        ("Mass", "2 lb 4 oz", None, 1.0205828325),
        ("Mass (g)", "1500", None, 1.5),
        ("Mass (g)", "1.5 kg", None, 1.5),
        ("Mass", "1500", "g", 1.5),
        ("Mass (kg)", "1500", "g", 1.5),
        ("Mass", "", None, None),
    ],
)
def test_units_stand_in_the_cell_the_mapping_or_the_head(
    tmp_path: Path, head: str, cell: str, unit: str | None, mass: float | None
) -> None:
    source = {"column": head} | ({"unit": unit} if unit else {})
    document = read(tmp_path, f"id;{head}\na;{cell}\n", columns={"id": "id", "mass": source})
    assert told(document) == []
    assert document.components[0].noun.mass == mass


@pytest.mark.parametrize("serial", ["0123", "25921e05", "16:9", "NO", "1,234", "3/4", "+12"])
def test_serials_stay_as_they_are_written(tmp_path: Path, serial: str) -> None:
    columns = {"id": "id", "serial": "No. (in)", "mass": "Weight"}
    document = read(tmp_path, f"id;No. (in);Weight\na;{serial};1,5 kg\n", columns=columns)
    assert told(document) == []
    assert document.components[0].noun.serial == serial


def test_rows_can_be_builds_with_parts_and_settings(tmp_path: Path) -> None:
    document = read(
        tmp_path,
        "Build;Rig;Parts;Left;Right;Stage\n"
        "a-cam;ring-one;body on stage; 212 mm; 213 mm;-3\n"
        "b-cam;ring-one;body on stage / lens-35 on body.lens as second;212 mm;213 mm;\n",
        rows="builds",
        columns={
            "id": "Build",
            "rig": "Rig",
            "parts": {"column": "Parts", "split": "/"},
            "settings.pivot.left": "Left",
            "settings.pivot.right": "Right",
            "settings.stage": {"column": "Stage", "unit": "mm"},
        },
    )
    assert told(document) == []
    first, second = (placed.noun for placed in document.builds)
    assert isinstance(first, Build)
    assert first.settings == {"pivot": PivotPair(left=0.212, right=0.213), "stage": -0.003}
    part = second.parts[1]
    assert (part.component, part.on, part.name) == ("lens-35", "body.lens", "second")


def test_rows_can_be_readings(tmp_path: Path) -> None:
    document = read(
        tmp_path,
        "When;Build;Drop (s);Mark (mm)\n2026-03-14T09:10+00:00;a-cam;3,1 / 3,0;487,5\n",
        rows="readings",
        columns={
            "on": "When",
            "build": "Build",
            "times": {"column": "Drop", "split": "/"},
            "settings.pivot": "Mark",
        },
        always={"kind": "drop"},
    )
    assert told(document) == []
    drop = document.readings[0].noun
    assert isinstance(drop, Drop)
    assert (drop.times, drop.settings) == ((3.1, 3.0), {"pivot": 0.4875})


def test_every_bad_row_is_named_in_one_run(tmp_path: Path) -> None:
    document = read(
        tmp_path,
        "id;kind;mass;serial\n"
        "a;lens;1,5 kg;=SUM(A1)\n"
        "b;lense;x;1\n"
        "c;lens;130;#REF!\n"
        "d;lens;1,5 kg;2,59E+09\n"
        "e;lens;1,5 kg\n"
        "a;lens;-1 kg;1\n",
        columns={key: key for key in ("id", "kind", "mass", "serial")},
    )
    rows = [finding.line for finding in document.findings]
    assert rows == sorted(rows)
    assert set(rows) == {2, 3, 4, 5, 6, 7}
    words = "\n".join(told(document))
    assert 'kit.csv:2: serial: "=SUM(A1)" is a formula' in words
    assert 'kit.csv:3: b kind: "lense" is not known here; did you mean lens?' in words
    assert 'kit.csv:4: c mass: "130" has no unit' in words
    assert 'kit.csv:4: serial: "#REF!" is an error of the spreadsheet' in words
    assert "kit.csv:5: serial" in words
    assert "kit.csv:6: 3 cells stand where the first row names 4 columns" in words
    assert "kit.csv:7: the id a stands twice" in words


def test_mixed_decimal_marks_are_told_beside_all_else(tmp_path: Path) -> None:
    columns = {"id": "id", "mass": "mass", "kind": "kind"}
    document = read(tmp_path, "id;mass;kind\na;1,5 kg;lens\nb;2.5 kg;lense\n", columns=columns)
    assert [finding.line for finding in document.findings] == [3, 3]
    assert any("decimal mark" in finding.message for finding in document.findings)


def test_a_figure_that_can_be_two_is_read_once_the_mapping_says_which(tmp_path: Path) -> None:
    text, columns = "id;mass (kg)\na;1,250\n", {"id": "id", "mass": "mass"}
    (finding,) = read(tmp_path, text, columns=columns).findings
    assert "can be 1250 and 1.250" in finding.message
    assert read(tmp_path, text, columns=columns, decimal=",").components[0].noun.mass == 1.25
    assert read(tmp_path, text, columns=columns, decimal=".").components[0].noun.mass == 1250.0


def test_a_column_that_is_not_there_is_named_with_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(DocumentError) as caught:
        read(tmp_path, "Item;Weight\na;1\n", columns={"id": "Itm", "mass": "Wieght"})
    assert [each.mend for each in caught.value.findings] == [
        "did you mean Item?", "did you mean Weight?",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "mistake"),
    [
        ("rows: components\ncolumns: {id: A}", "the version of the mapping is missing"),
        ("riglog_import: 2\nrows: components\ncolumns: {id: A}", "missing or unknown"),
        ("riglog_import: 1\nrows: lenses\ncolumns: {id: A}", '"lenses" is not known here'),
        ("riglog_import: 1\nrows: components", "columns is missing"),
        ("riglog_import: 1\nrows: components\ncolumns: {id: {colum: A}}", "did you mean column?"),
        ("- a", "the mapping has no keys"),
    ],
)
def test_a_wrong_mapping_is_told_by_line(tmp_path: Path, text: str, mistake: str) -> None:
    file = tmp_path / "map.yaml"
    file.write_text(text)
    with pytest.raises(DocumentError) as caught:
        read_mapping(str(file))
    assert any(mistake in str(each) for each in caught.value.findings)


def test_the_schema_takes_what_the_program_takes() -> None:
    schema = json.loads(SCHEMA.read_text())
    good = {
        "riglog_import": 1,
        "rows": "builds",
        "columns": {
            "id": {"column": "Item", "slug": True},
            "parts": {"column": "Parts", "split": ";"},
            "size": ["L", {"column": "W", "unit": "mm"}],
        },
        "always": {"rig": "post-one"},
        "decimal": ",",
    }
    jsonschema.validate(good, schema)
    for wrong in ({"rows": "lenses"}, {"colums": {}}, {"columns": {"id": {"unit": "mm"}}}):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(good | wrong, schema)
