"""JSON Schema of a kit document, made from the nouns: ``python -m riglog.interchange.schema``.

``--write`` puts it where editors find it; ``--check`` ends with status 1 where the file there is
not what the nouns say.
"""

from __future__ import annotations

import json
import sys
from dataclasses import MISSING, fields
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_type_hints

from pydantic.json_schema import GenerateJsonSchema, models_json_schema

from riglog.interchange import shapes
from riglog.interchange.adapters import key_of, model
from riglog.interchange.document import VERSION
from riglog.interchange.generated import keep
from riglog.interchange.writer import default_of, written_value
from riglog.records import Adjuster, Build, Component, Mount, Part, Rig, Scale, Spread
from riglog.records.measurements import MEASUREMENT_KINDS
from riglog.records.readings import KINDS, reading_class
from riglog.records.weighing_scale import WeighingScale

if TYPE_CHECKING:
    from collections.abc import Sequence

FILE = Path(__file__).parents[2] / "schemas" / "kit.schema.json"
TITLE = "Kit document of riglog"
_MEASURED = MEASUREMENT_KINDS.values()
_DOCUMENTED = (Component, Rig, Build, WeighingScale, *map(reading_class, KINDS), *_MEASURED)
_WITH_DEFAULTS = (*_DOCUMENTED, Adjuster, Mount, Part, Scale, Spread)


class _Generator(GenerateJsonSchema):
    """pydantic's, without a title for each field that says its name again."""

    def field_title_should_be_set(self, schema: Any) -> bool:  # noqa: ARG002 # overridden
        return False


def kit_schema() -> dict[str, Any]:
    """The schema of a whole document (JSON Schema, draft 2020-12)."""
    models: list[tuple[Any, Any]] = [(model(noun), "validation") for noun in _DOCUMENTED]
    _, generated = models_json_schema(models, schema_generator=_Generator)
    nouns = {name: _tidy(schema) for name, schema in generated["$defs"].items()}
    for noun in _WITH_DEFAULTS:
        _add_defaults(noun, nouns[noun.__name__])
    for noun in (*map(reading_class, KINDS), *_MEASURED):
        nouns[noun.__name__]["required"].insert(0, "kind")
    readings = {"oneOf": [_reference(name) for name in KINDS.values()]}
    measurements = {"oneOf": [_reference(noun.__name__) for noun in _MEASURED]}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": TITLE,
        "type": "object",
        "properties": {
            "riglog": {
                "description": "Version of the document's form.",
                "enum": [int(VERSION), VERSION],
            },
            "components": {"type": "array", "items": _reference("Component")},
            "rigs": {"type": "array", "items": _reference("Rig")},
            "builds": {"type": "array", "items": _reference("Build")},
            "scales": {"type": "array", "items": _reference("WeighingScale")},
            "readings": {"type": "array", "items": readings},
            "measurements": {"type": "array", "items": measurements},
        },
        "required": ["riglog"],
        "additionalProperties": False,
        "$defs": shapes.named() | nouns,
    }


def _reference(name: str) -> dict[str, Any]:
    return {"$ref": f"#/$defs/{name}"}


def _tidy(schema: Any) -> Any:
    """What pydantic made, with shared schemas by reference and key patterns as property names."""
    if isinstance(schema, list):
        return [_tidy(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    shared = _shared(schema)
    if shared:
        return shared
    tidy = {key: _tidy(item) for key, item in schema.items() if (key, item) != ("default", None)}
    if isinstance(tidy.get("description"), str):
        tidy["description"] = " ".join(tidy["description"].replace("``", "").split())
    if "patternProperties" in tidy:
        ((pattern, values),) = tidy.pop("patternProperties").items()
        tidy["propertyNames"] = _reference(_names_by_pattern()[pattern])
        tidy["additionalProperties"] = values
    return tidy


def _shared(schema: dict[str, Any]) -> dict[str, Any] | None:
    """A reference to the shared schema that this one is, with its own description."""
    about = {"title", "description", "default"}
    bare = {key: item for key, item in schema.items() if key not in about}
    for name, known in shapes.named().items():
        if bare == {key: item for key, item in known.items() if key not in about}:
            own = schema.get("description")
            differs = own is not None and own != known.get("description")
            return _reference(name) | ({"description": own} if differs else {})
    return None


@cache
def _names_by_pattern() -> dict[str, str]:
    return {known["pattern"]: name for name, known in shapes.named().items() if "pattern" in known}


def _add_defaults(noun: type, schema: dict[str, Any]) -> None:
    """What a field is when it is left out, as a document would say it."""
    hints = get_type_hints(noun, include_extras=True)
    for spec in fields(noun):
        default = default_of(spec)
        says_something = default is not MISSING and default not in (None, "", (), {}, Scale())
        # A reading's kind is what its class is known by, and must be written.
        if says_something and (noun is Component or spec.name != "kind"):
            value = written_value(hints[spec.name], default)
            schema["properties"][key_of(spec)]["default"] = value


def mapping_schema() -> dict[str, Any]:
    """The schema of a mapping of a spreadsheet's columns."""
    from riglog.interchange.mapping import KEY, SheetMapping

    _, generated = models_json_schema(
        [(model(SheetMapping), "validation")], schema_generator=_Generator
    )
    nouns = {name: _tidy(schema) for name, schema in generated["$defs"].items()}
    mapping: dict[str, Any] = nouns.pop("SheetMapping")
    version = {"description": "Version of the mapping's form.", "enum": [int(VERSION), VERSION]}
    return mapping | {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Mapping of a spreadsheet's columns for riglog import",
        "properties": {KEY: version} | mapping["properties"],
        "required": [KEY, *mapping["required"]],
        "$defs": shapes.named() | nouns,
    }


SCHEMAS = {"kit.schema.json": kit_schema, "import.schema.json": mapping_schema}


def text(name: str = FILE.name) -> str:
    """A schema as its file holds it."""
    return json.dumps(SCHEMAS[name](), indent=2, ensure_ascii=False) + "\n"


def main(arguments: Sequence[str]) -> int:
    """Write the files, or compare them."""
    module, folder = "riglog.interchange.schema", FILE.parent
    return max(
        keep(folder / name, partial(text, name), "the nouns", module, arguments) for name in SCHEMAS
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
