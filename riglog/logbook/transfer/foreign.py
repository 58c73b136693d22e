"""Whether columns that come from elsewhere are an entry that this program could have written.

An id can fit what is no entry: a figure written in another way, a key twice, a time that is none.
Such a thing would be read one way here and another way there, or not at all.
"""

from __future__ import annotations

import json
import re
from datetime import datetime
from typing import TYPE_CHECKING, Any

from riglog.logbook import derive
from riglog.logbook.entry import ID, RFC_3339, canonical

if TYPE_CHECKING:
    from collections.abc import Callable

    from riglog.logbook.entry import Body, Envelope

    # Kind, subject and body of an entry; what keeps them from being a record, or "".
    Fault = Callable[[str, str, Body], str]

_TIME = re.compile(RFC_3339, re.ASCII)
# A number with an exponent, or a whole one with a point, is written in another way by Python than
# by RFC 8785; so is a whole one that is not exact.
_EXPONENT = re.compile(r"e[+-]\d")
_POINT = re.compile(r"\.0[,}\]]")
_SAFE_DIGITS = 15
_write = json.JSONEncoder(
    ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")
).encode


def needs(entry_id: str, envelope: Envelope, fault: Fault) -> tuple[str, ...]:
    """Ids of the entries that one from elsewhere cannot do without.

    Its id has to fit, and its columns have to be as this program writes them.

    Parameters
    ----------
    fault
        Tells what is wrong with what the entry says.

    Raises
    ------
    ValueError, TypeError
        With what is wrong.
    """
    if envelope.id != entry_id:
        raise ValueError("it is not what was recorded, its id does not fit")
    _check_time(envelope.at)
    parents = _parents(envelope.parents)
    body = _body(envelope.body)
    if wrong := fault(envelope.kind, envelope.subject, body):
        raise ValueError(wrong)
    version = derive.version_used(envelope.kind, body)
    return (*parents, version) if version else parents


def _check_time(at: str) -> None:
    if not _TIME.fullmatch(at):
        raise ValueError("its time is no time with offset")
    datetime.fromisoformat(at)


def _parents(text: str) -> tuple[str, ...]:
    if text == "[]":
        return ()
    found = _read(json.loads, text)
    if not isinstance(found, list) or not all(map(is_id, found)):
        raise ValueError("its parents are no ids of entries")
    if _write(sorted(set(found))) != text:
        raise ValueError("its parents are not in canonical form")
    return tuple(found)


def is_id(value: Any) -> bool:
    """Whether a value is the id of an entry, or could be."""
    return isinstance(value, str) and re.fullmatch(ID, value, re.ASCII) is not None


def _body(text: str) -> dict[str, Any]:
    try:
        body, plain = _read(_decode, text), _is_plain(text)
    except _InexactError:
        body, plain = _read(json.loads, text), False
    if not isinstance(body, dict):
        raise ValueError("its body is no object")  # noqa: TRY004 # a fault of the entry
    if not _is_canonical(text, body, plain=plain):
        raise ValueError("its body is not in canonical form")
    return body


def _read(read: Callable[[str], Any], text: str) -> Any:
    try:
        return read(text)
    except RecursionError as error:
        raise ValueError("it is nested too deep") from error


class _InexactError(Exception):
    """A whole number that is not exact to every program."""


def _whole(text: str) -> int:
    if len(text) > _SAFE_DIGITS:
        raise _InexactError
    return int(text)


_decode = json.JSONDecoder(parse_int=_whole).decode


def _is_plain(text: str) -> bool:
    """Whether what Python writes as a text is also what RFC 8785 does."""
    return text.isascii() and not _EXPONENT.search(text) and not _POINT.search(text)


def _is_canonical(text: str, body: dict[str, Any], *, plain: bool) -> bool:
    try:
        # Most bodies are plain, and of those Python's own writer is three times as fast.
        return (plain and _write(body) == text) or canonical(body) == text
    except ValueError:  # it holds what is no number
        return False
