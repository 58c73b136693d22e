"""Whether a plain JSON object is the body of a noun: its keys, their types, and their limits.

What this program records is checked where it is typed. What comes from elsewhere, in a bundle or
another library, has an id that fits and may yet be anything: another program wrote it, or a newer
one.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Hashable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from datetime import date, datetime
from functools import cache, lru_cache, partial
from math import isfinite
from typing import Annotated, Any, Literal, Union, cast, get_args, get_origin, get_type_hints

from riglog.records.limits import Limit, Text, is_id

# What is wrong with a value, or "".
_Check = Callable[[Any], str]


def fault(noun: type, body: object) -> str:
    """What keeps an object from being the body of a noun, and where in it; "" where nothing does.

    Examples
    --------
    >>> from riglog.records import Component
    >>> fault(Component, {"id": "lens-35", "kind": "lens", "mass": -1})
    'mass is not more than zero'
    >>> fault(Component, {"id": "lens-35", "kind": "lens", "mass": 1.12})
    ''
    """
    # A class is hashable, whatever its metaclass might say.
    return _noun(cast("Hashable", noun))(body)


@cache
def _noun(noun: type) -> _Check:
    hints = get_type_hints(noun, include_extras=True)
    checks = {spec.name: _check(hints[spec.name]) for spec in fields(noun)}
    needed = [
        spec.name
        for spec in fields(noun)
        if spec.default is MISSING and spec.default_factory is MISSING
    ]
    return _object(checks, needed)


def _object(checks: Mapping[str, _Check], needed: list[str]) -> _Check:
    # A closure, as the others below: a merge of a large library calls nothing as often.
    def check(body: Any) -> str:
        if not isinstance(body, dict):
            return "is no object"
        for key, value in body.items():
            if key not in checks:
                return f"{key!a} is not known"
            if wrong := checks[key](value):
                return _below(key, wrong)
        for key in needed:
            if key not in body:
                return f"{key} is missing"
        return ""

    return check


def _below(key: str, wrong: str) -> str:
    """What is wrong with the value of a key: its own fault, or that of something in it."""
    return f"{key} {wrong}" if wrong.startswith(("is ", "has ", "does ")) else f"{key}.{wrong}"


def _check(hint: Any) -> _Check:
    origin, args = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _marked(_check(args[0]), args[1:])
    if isinstance(hint, type) and is_dataclass(hint):
        return _noun(cast("Hashable", hint))
    if origin is tuple:
        return _items(args)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return _entries(_check(args[0]), _check(args[1]))
    if origin in {Union, types.UnionType}:
        forms = [_check(arg) for arg in args if arg is not types.NoneType]
        return _any(forms, or_nothing=types.NoneType in args)
    return partial(_choice, args) if origin is Literal else _PLAIN[hint]


def _marked(check: _Check, marks: tuple[Any, ...]) -> _Check:
    written = [_WRITTEN[mark] for mark in marks if isinstance(mark, Text)]
    limits = [mark for mark in marks if isinstance(mark, Limit)]
    first = written[0] if written else check
    return _limited(first, limits[0]) if limits else first


def _any(checks: list[_Check], *, or_nothing: bool) -> _Check:
    def check(value: Any) -> str:
        if value is None:
            return "" if or_nothing else "is null"
        wrong = ""
        for each in checks:
            if not (wrong := each(value)):
                return ""
        return wrong

    return check


def _limited(check: _Check, limit: Limit) -> _Check:
    def within(value: Any) -> str:
        if wrong := check(value):
            return wrong
        beyond = limit.fault(value)
        return beyond[0] if beyond else ""

    return within


def _items(args: tuple[Any, ...]) -> _Check:
    if args[-1] is Ellipsis:
        return _list(_check(args[0]), None)
    return _list(_check(args[0]), len(args))


def _list(check: _Check, count: int | None) -> _Check:
    def all_of(value: Any) -> str:
        if not isinstance(value, list) or count not in {None, len(value)}:
            return "is no list" if count is None else f"is no list of {count}"
        for item in value:
            if wrong := check(item):
                return wrong
        return ""

    return all_of


def _entries(of_key: _Check, of_value: _Check) -> _Check:
    def all_of(value: Any) -> str:
        if not isinstance(value, dict):
            return "is no object"
        for key, item in value.items():
            if of_key(key):
                return f"has the key {key!a}"
            if wrong := of_value(item):
                return _below(key, wrong)
        return ""

    return all_of


def _choice(words: tuple[Any, ...], value: Any) -> str:
    return "" if isinstance(value, str) and value in words else "is none of the words for it"


def _number(value: Any) -> str:
    fits = type(value) is int or (type(value) is float and isfinite(value))
    return "" if fits else "is no number"


def _whole(value: Any) -> str:
    return "" if type(value) is int else "is no whole number"


def _text(value: Any) -> str:
    return "" if isinstance(value, str) else "is no text"


def _truth(value: Any) -> str:
    return "" if isinstance(value, bool) else "is neither true nor false"


# The same few ids stand in most of the entries of a library.
@lru_cache(maxsize=4096)
def _is_id(text: str) -> bool:
    return is_id(text)


def _id(value: Any) -> str:
    return "" if isinstance(value, str) and _is_id(value) else "is no id"


def _place(value: Any) -> str:
    if not isinstance(value, str):
        return "is no place"
    owner, _, mount = value.partition(".")
    return "" if _is_id(owner) and (not mount or _is_id(mount)) else "is no place"


def _instant(value: Any) -> str:
    return "" if isinstance(value, str) and is_instant(value) else "is no time with its offset"


def _day(value: Any) -> str:
    try:
        return "" if date.fromisoformat(value).isoformat() == value else "is no day"
    except (TypeError, ValueError):
        return "is no day"


def is_instant(text: str) -> bool:
    """Whether a text is an RFC 3339 time with offset."""
    try:
        return datetime.fromisoformat(text).tzinfo is not None
    except ValueError:
        return False


_PLAIN: Mapping[Any, _Check] = {
    float: _number,
    int: _whole,
    str: _text,
    bool: _truth,
}
_WRITTEN: Mapping[Text, _Check] = {
    Text.ID: _id,
    Text.PLACE: _place,
    Text.INSTANT: _instant,
    Text.DAY: _day,
    Text.NOTE: _text,
}
