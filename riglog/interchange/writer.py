"""Nouns to the YAML of a kit document that reads back as the very same nouns."""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any, Union, cast, get_args, get_origin, get_type_hints

from riglog.interchange.document import VERSION
from riglog.records import Adjuster, Build, Component, Drop, LoadRange, Mount, Reading, Rig, Weight
from riglog.records.measurements import Measurement
from riglog.records.weighing_scale import WeighingScale
from riglog.units import METER, Unit, exact

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable

    import yaml

Noun = Component | Rig | Build | WeighingScale | Reading | Measurement

_LISTS: Mapping[str, Any] = {
    "components": Component,
    "rigs": Rig,
    "builds": Build,
    "scales": WeighingScale,
    "readings": Reading,
    "measurements": Measurement,
}


def write_document(nouns: Iterable[Noun]) -> str:
    """A kit document with some nouns, each with what it does not leave at its default.

    Parameters
    ----------
    nouns
        In any mixture; they come grouped as a document is read, and in their order otherwise.

    Returns
    -------
    str
        YAML. Quantities are as short as they can be and still read back as the same floats.

    Raises
    ------
    ValueError
        If a quantity is not finite, or is none that a document can hold.
    """
    import yaml  # 12 ms that only documents cost

    groups: dict[str, list[Any]] = {key: [] for key in _LISTS}
    for noun in nouns:
        group = next(key for key, kind in _LISTS.items() if isinstance(noun, kind))
        groups[group].append(written(noun))
    document = {"riglog": int(VERSION)} | {key: found for key, found in groups.items() if found}
    text: str = yaml.serialize(_node(document), Dumper=_dumper(), allow_unicode=True, width=100)
    return text


def written(noun: Any) -> dict[str, Any]:
    """A noun as keys and texts; numbers and truth values stay what they are."""
    # A class is hashable, whatever its metaclass might say.
    hints = _hints(cast("Hashable", type(noun)))
    symbol = noun.unit if isinstance(noun, Adjuster) else "mm"
    document = {}
    for spec in _ordered(noun):
        value = getattr(noun, spec.name)
        # The kind of a reading is a default of its class, and yet what a document must say;
        # that of a component is what a reader looks for.
        if spec.name == "kind" or value != default_of(spec):
            key = spec.metadata.get("key", spec.name)
            document[key] = written_value(hints[spec.name], value, symbol)
    return document


def _ordered(noun: Any) -> list[Any]:
    """Fields as a document has them; a reading says what was measured, then when and where."""
    if isinstance(noun, Reading):
        return sorted(fields(noun), key=lambda spec: spec.name in _CIRCUMSTANCES)
    return list(fields(noun))


_CIRCUMSTANCES = {spec.name for spec in fields(Drop)} & {spec.name for spec in fields(Weight)}
_CIRCUMSTANCES -= {"build", "kind"}


def default_of(spec: Any) -> Any:
    """The default of a noun's field; ``MISSING`` where it has none."""
    return spec.default if spec.default_factory is MISSING else spec.default_factory()


@cache
def _hints(noun: type) -> dict[str, Any]:
    return get_type_hints(noun, include_extras=True)


def written_value(hint: Any, value: Any, symbol: str = "mm") -> Any:
    """A field's value as a document says it; lengths in ``symbol``."""
    origin, args = get_origin(hint), get_args(hint)
    if origin is Annotated:
        unit = next((mark for mark in args[1:] if isinstance(mark, Unit)), None)
        if unit is not None:
            return exact(value, unit, symbol if unit == METER else "")
        return written_value(args[0], value, symbol)
    if origin in {Union, types.UnionType}:
        return written_value(_chosen(args, value), value, symbol)
    if origin is tuple:
        items = args[:1] * len(value) if Ellipsis in args else args
        return [written_value(item, each, symbol) for item, each in zip(items, value, strict=True)]
    if origin is Mapping:
        return _written_mapping(args[1], value)
    return _written_noun(value) if is_dataclass(value) else value


def _chosen(choices: tuple[Any, ...], value: Any) -> Any:
    """Which of the forms of a union a value has."""
    fitting = (arg for arg in choices if is_dataclass(arg) == is_dataclass(value))
    return next(arg for arg in fitting if arg is not types.NoneType)


def _written_mapping(hint: Any, value: Mapping[str, Any]) -> Any:
    written_items = {key: written_value(hint, item) for key, item in value.items()}
    # A load that the maker gives for the rig as a whole needs no name.
    if hint is LoadRange and set(value) == {"rig"} and value["rig"].least is None:
        return written_items["rig"]
    return written_items


def _written_noun(value: Any) -> Any:
    """A noun inside another, in the short form where it has one."""
    full = written(value)
    if isinstance(value, LoadRange):
        return [full["least"], full["greatest"]] if "least" in full else full["greatest"]
    return full["at"] if isinstance(value, Mount) and set(full) == {"at"} else full


@cache
def _dumper() -> type[yaml.SafeDumper]:
    """Writes lists indented, and neither the key ``on`` nor days in quotes.

    Readers of YAML 1.1 take them for a truth value and a time; this program and readers of
    YAML 1.2 do not. All other words that some reader mistakes are quoted, such as 16:9.
    """
    import yaml

    class Dumper(yaml.SafeDumper):
        yaml_implicit_resolvers = {  # noqa: RUF012 # as its base has it
            first: [
                (tag, pattern)
                for tag, pattern in resolvers
                if not tag.endswith(":timestamp") and not (tag.endswith(":bool") and first in "oO")
            ]
            for first, resolvers in yaml.SafeDumper.yaml_implicit_resolvers.items()
        }

        def increase_indent(self, flow: bool = False, indentless: bool = False) -> Any:  # noqa: ARG002 # overridden
            return super().increase_indent(flow, indentless=False)

    return Dumper


def _node(value: Any, depth: int = 0) -> yaml.Node:
    """A node for the YAML emitter: small things on one line, the rest below each other."""
    import yaml

    tag = "tag:yaml.org,2002:"
    if isinstance(value, dict):
        flow = depth > 2 and _is_small(value)
        pairs = [(_node(key), _node(item, depth + 1)) for key, item in value.items()]
        return yaml.MappingNode(f"{tag}map", pairs, flow_style=flow)
    if isinstance(value, list):
        flow = depth > 1 and _is_small(value)
        items = [_node(item, depth + 1) for item in value]
        return yaml.SequenceNode(f"{tag}seq", items, flow_style=flow)
    kind, text = _scalar(value)
    return yaml.ScalarNode(f"{tag}{kind}", text)


def _scalar(value: Any) -> tuple[str, str]:
    if isinstance(value, bool):
        return "bool", "true" if value else "false"
    if isinstance(value, int):
        return "int", str(value)
    if isinstance(value, float):
        from decimal import Decimal

        return "float", f"{Decimal(repr(value)):f}"
    return "str", value


def _is_small(value: Any) -> bool:
    """Whether a list or mapping holds nothing but single values, or lists of those."""
    items = value.values() if isinstance(value, dict) else value
    return not any(isinstance(item, dict) for item in items)
