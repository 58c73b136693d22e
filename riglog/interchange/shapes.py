"""JSON Schema of single values: what an editor can tell while somebody types."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from riglog.interchange.forms import LONGEST_LINE, LONGEST_NOTE
from riglog.records.limits import ID_PATTERN, LONGEST_ID, Text
from riglog.units import Unit, symbols_for
from riglog.units.parsing import NUMBER

if TYPE_CHECKING:
    from collections.abc import Mapping

Schema = dict[str, Any]

_QUANTITIES: Mapping[str, tuple[str, list[str]]] = {
    "kg": ("mass", ["4.21 kg", "350 g", "2 lb 4 oz"]),
    "m": ("length", ["482 mm", "48.2 cm", "18 3/8 in"]),
    "s": ("time", ["3.1 s", "950 ms"]),
    "rad": ("angle", ["90 deg", "0.5 rad"]),
    "N": ("force", ["12 N"]),
    "N m": ("torque", ["0.4 N m"]),
    "kg m2": ("inertia", ["0.013 kg m2", "45 lb in2"]),
    "1": ("share", ["0.5 %"]),
}

# What a YAML reader makes of words: 0123 or 16:9 are text to this program, whatever it makes.
_WORDS = ["string", "number", "boolean"]


def quantity(unit: Unit) -> Schema:
    """A quantity: number and unit in one text."""
    name, examples = _QUANTITIES[unit.si]
    symbols = sorted(symbols_for(unit), key=len, reverse=True)
    units = "|".join(re.escape(symbol).replace("\\ ", " +") for symbol in symbols)
    return {
        "description": f"{name.capitalize()} with its unit: {', '.join(symbols_for(unit))}.",
        "type": "string",
        "pattern": rf"^\s*[+\-\u2212]?(\s*{NUMBER}\s*({units}))+\s*$",
        "examples": examples,
    }


def choice(words: tuple[str, ...]) -> Schema:
    """One of some words."""
    return {"enum": list(words)}


# An id of digits only is a number to YAML.
_ID_TYPES = ["string", "integer"]

TEXTS: Mapping[Text, Schema] = {
    Text.ID: {
        "description": "Small letters, digits and single hyphens.",
        "type": _ID_TYPES,
        "pattern": f"^{ID_PATTERN}$",
        "maxLength": LONGEST_ID,
    },
    Text.PLACE: {
        "description": "A name, or the name of a part and one of its own, joined by a point.",
        "type": _ID_TYPES,
        "pattern": rf"^{ID_PATTERN}(\.{ID_PATTERN})?$",
        "examples": ["stage", "body-north.lens"],
    },
    Text.INSTANT: {
        "description": "ISO 8601; without an offset it is the time of the machine that records it.",
        "type": "string",
        "pattern": "^[0-9]{4}-?[0-9]{2}-?[0-9]{2}",
        "examples": ["2026-03-14T09:10", "2026-03-14T09:10:00+01:00"],
    },
    Text.DAY: {
        "description": "ISO 8601.",
        "type": "string",
        "pattern": "^[0-9]{4}-?[0-9]{2}-?[0-9]{2}$",
        "examples": ["2026-03-14"],
    },
    Text.NOTE: {"type": _WORDS, "maxLength": LONGEST_NOTE},
}

PLAIN: Mapping[type, Schema] = {
    str: {"type": _WORDS, "maxLength": LONGEST_LINE},
    bool: {"type": "boolean"},
    float: {"type": "number"},
    int: {"type": "integer"},
}


def named() -> dict[str, Schema]:
    """The schemas that many fields share, each under the name that a reference gives it."""
    quantities = {name: quantity(Unit(si)) for si, (name, _) in _QUANTITIES.items()}
    return (
        quantities | {text.value: schema for text, schema in TEXTS.items()} | {"words": PLAIN[str]}
    )
