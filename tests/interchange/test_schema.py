"""The schema that editors complete from, against the program that reads the documents."""

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from hypothesis import given, settings
from noun_strategies import NOUNS

from riglog.interchange import read_document, schema, write_document

KIT = Path(__file__).parent / "kit.yaml"
SCHEMA = json.loads(schema.FILE.read_text(encoding="utf-8"))
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


class CoreLoader(yaml.SafeLoader):
    """Reads YAML as editors do, by version 1.2: days and 16:9 are text."""


CoreLoader.yaml_implicit_resolvers = {}
for _tag, _pattern, _first in [
    ("bool", "true|false", "tf"),
    ("null", "null|~|", "n~"),
    ("int", "[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+.0123456789"),
]:
    CoreLoader.add_implicit_resolver(
        f"tag:yaml.org,2002:{_tag}", re.compile(f"^(?:{_pattern})$"), list(_first)
    )
CoreLoader.add_constructor("tag:yaml.org,2002:int", lambda _, node: int(node.value))


def errors(text: str) -> list[str]:
    document = yaml.load(text, Loader=CoreLoader)
    return [f"{error.json_path}: {error.message}" for error in VALIDATOR.iter_errors(document)]


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_the_file_is_what_the_nouns_say(capsys: pytest.CaptureFixture[str]) -> None:
    assert schema.main(["--check"]) == 0
    assert capsys.readouterr().err == ""


def test_a_drifted_file_is_noticed_and_mended(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(schema, "FILE", tmp_path / "schemas" / "kit.schema.json")
    assert schema.main(["--check"]) == 1
    assert schema.main(["--write"]) == 0
    assert schema.main(["--check"]) == 0
    schema.FILE.write_text(schema.text().replace("mass", "mess", 1), encoding="utf-8")
    capsys.readouterr()
    assert schema.main(["--check"]) == 1
    message = "kit.schema.json is not what the nouns say; run it with --write\n"
    assert capsys.readouterr().err == message
    assert schema.main([]) == 2
    assert sorted(file.name for file in schema.FILE.parent.iterdir()) == sorted(schema.SCHEMAS)


def test_the_kit_of_the_manual_is_valid() -> None:
    assert errors(KIT.read_text(encoding="utf-8")) == []


@settings(deadline=None, max_examples=60)
@given(NOUNS)
def test_whatever_the_program_writes_is_valid(noun: Any) -> None:
    assert errors(write_document([noun])) == []


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("mass: 4.210 kg", "mass: 4.210 kgs"),
        ("mass: 4.210 kg", "mass: 4.210"),
        ("mass: 4.210 kg", "mass: 4,210 kg"),
        ("mass: 4.210 kg", "mass: 4210 mm"),
        ("mass: 4.210 kg", "masss: 4.210 kg"),
        ("kind: camera", "kind: camra"),
        ("size: [280 mm, 150 mm, 170 mm]", "size: [280 mm, 150 mm]"),
        ("id: body-north", "id: Body North"),
        ("lens: [95 mm, 0 mm, 62 mm]", "lens: [95 mm, 0 mm, 62]"),
        ("{lens: [95 mm", "{Lens!: [95 mm"),
        ("tilts: false", "tilts: no"),
        ("type: post ", "type: pole "),
        ("axis: z", "axis: w"),
        ("rated_load: 24 kg", "rated_load: 24"),
        ("wanted_drop: 3 s", "wanted_drop: 3 sec"),
        ("kind: drop", "kind: drip"),
        ("times: [3.1 s, 3.0 s, 3.2 s]", "times: [3.1, 3.0 s, 3.2 s]"),
        ("on: 2026-03-14T09:10", "on: 14.3.2026"),
        ("riglog: 1", "riglog: 2"),
        ("components:", "componets:"),
    ],
)
def test_a_mistyped_document_fails_the_schema_and_the_program_alike(right: str, wrong: str) -> None:
    kit = KIT.read_text(encoding="utf-8")
    assert kit.count(right) >= 1
    mistyped = kit.replace(right, wrong, 1)
    assert errors(mistyped)
    assert read_document(mistyped).findings


def test_an_editor_has_something_to_say_about_every_quantity() -> None:
    for name in ("mass", "length", "time", "angle", "inertia", "share"):
        shared = SCHEMA["$defs"][name]
        assert shared["description"].endswith(".")
        assert all(re.search(shared["pattern"], example) for example in shared["examples"])


def test_defaults_are_shown_as_a_document_would_say_them() -> None:
    assert SCHEMA["$defs"]["Adjuster"]["properties"]["step"]["default"] == "1 mm"
    assert SCHEMA["$defs"]["Drop"]["properties"]["release"]["default"] == "90 deg"
    assert SCHEMA["$defs"]["Component"]["properties"]["kind"]["default"] == "other"
