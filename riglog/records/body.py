"""Nouns to the plain JSON objects that the logbook keeps, and back.

A body holds only what differs from the defaults, so that a field added later changes no entry
that was written before. Numbers are SI, keys are attribute names.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Hashable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from functools import cache, partial
from typing import (
    Annotated,
    Any,
    Literal,
    TypeVar,
    Union,
    cast,
    get_args,
    get_origin,
)

T = TypeVar("T")
Decode = Callable[[Any], Any]


def to_body(noun: Any) -> dict[str, Any]:
    """JSON object with the fields of a noun that differ from their defaults."""
    body = {}
    for spec in fields(noun):
        value = getattr(noun, spec.name)
        default = spec.default
        if default is MISSING and spec.default_factory is not MISSING:
            default = spec.default_factory()
        # The kind of a reading or component is a default, and yet what an entry is known by.
        if spec.name == "kind" or default is MISSING or value != default:
            body[spec.name] = _plain(value)
    return body


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        return to_body(value)
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value


def from_body(noun: type[T], body: Mapping[str, Any]) -> T:
    """The noun that ``to_body`` made the object of.

    Raises
    ------
    TypeError
        If a field is missing or unknown.
    """
    # A class is hashable, whatever its metaclass might say.
    decoders = _decoders(cast("Hashable", noun))
    return noun(
        **{key: decoders[key](value) if key in decoders else value for key, value in body.items()}
    )


@cache
def _decoders(noun: type) -> dict[str, Decode]:
    """For each field that is not JSON already, what makes it a noun's value again."""
    # Nouns do not postpone their annotations, so that a field's type is what it says.
    decoders = ((spec.name, _decoder(spec.type)) for spec in fields(noun))
    return {name: decode for name, decode in decoders if decode is not None}


def _decoder(hint: Any) -> Decode | None:
    origin, args = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _decoder(args[0])
    if isinstance(hint, type) and is_dataclass(hint):
        return partial(from_body, hint)
    if origin is tuple:
        return partial(_tuple, _decoder(args[0]))
    if origin is not None and isinstance(origin, type) and issubclass(origin, Mapping):
        item = _decoder(args[1])
        return partial(_mapping, item) if item else None
    if origin in {Union, types.UnionType}:
        return _union([_bare(arg) for arg in args if arg is not types.NoneType])
    assert hint in {str, float, int, bool} or origin is Literal, hint
    return None


def _bare(hint: Any) -> Any:
    return get_args(hint)[0] if get_origin(hint) is Annotated else hint


def _union(args: list[Any]) -> Decode | None:
    """A choice between forms is told apart by its JSON type: object, array or scalar."""
    by_type: dict[type, Decode] = {}
    for arg in args:
        decode = _decoder(arg)
        if decode is not None:
            by_type[list if get_origin(arg) is tuple else dict] = decode
    if not by_type:
        return None
    return lambda value: by_type[type(value)](value) if type(value) in by_type else value


def _tuple(item: Decode | None, values: list[Any]) -> tuple[Any, ...]:
    return tuple(values if item is None else map(item, values))


def _mapping(item: Decode, values: Mapping[str, Any]) -> dict[str, Any]:
    return {key: item(value) for key, value in values.items()}
