"""Whether columns that come from elsewhere are an entry that this program could have written.

An id can fit what is no entry: a figure written in another way, a key twice, a time that is none.
Such a thing would be read one way here and another way there, or not at all.
"""

from __future__ import annotations

import json
import re
from datetime import datetime
from typing import TYPE_CHECKING, Any, NamedTuple

from riglog.logbook import derive
from riglog.logbook.entry import ID, RFC_3339, canonical

if TYPE_CHECKING:
    from collections.abc import Callable

    from riglog.logbook.entry import Body, Envelope

    # Kind, subject and body of an entry; what keeps them from being a record, or "".
    Fault = Callable[[str, str, Body], str]

_SAFE_DIGITS = 15
_write = json.JSONEncoder(
    ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")
).encode


class Checked(NamedTuple):
    """An entry from elsewhere, and the ids of the entries that it cannot do without."""

    envelope: Envelope
    needs: tuple[str, ...]


def checked(entry_id: str, envelope: Envelope, fault: Fault) -> Checked:
    """An entry whose id fits, and whose columns are as this program writes them.

    Parameters
    ----------
    fault
        Tells what is wrong with what the entry says.

    Raises
    ------
    ValueError
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
    return Checked(envelope, (*parents, version) if version else parents)


def _check_time(at: str) -> None:
    if not re.fullmatch(RFC_3339, at, re.ASCII):
        raise ValueError("its time is no time with offset")
    datetime.fromisoformat(at)


def _parents(text: str) -> tuple[str, ...]:
    if text == "[]":
        return ()
    found = _loaded(text)
    if not isinstance(found, list) or not all(map(_is_id, found)):
        raise ValueError("its parents are no ids of entries")
    if _write(sorted(set(found))) != text:
        raise ValueError("its parents are not in canonical form")
    return tuple(found)


def _is_id(value: Any) -> bool:
    return isinstance(value, str) and re.fullmatch(ID, value, re.ASCII) is not None


def _body(text: str) -> dict[str, Any]:
    try:
        body, canonical_form = _plain(text), text.isascii()
    except _OddError:
        body, canonical_form = _loaded(text), False
    if not isinstance(body, dict):
        raise ValueError("its body is no object")  # noqa: TRY004 # a fault of the entry
    if not _is_canonical(text, body, plain=canonical_form):
        raise ValueError("its body is not in canonical form")
    return body


def _loaded(text: str) -> Any:
    try:
        return json.loads(text)
    except RecursionError as error:
        raise ValueError("it is nested too deep") from error


def _plain(text: str) -> Any:
    """What a text holds, if Python writes each of its numbers as RFC 8785 does."""
    try:
        return _decode(text)
    except RecursionError as error:
        raise ValueError("it is nested too deep") from error


class _OddError(Exception):
    """A number that Python writes in another way."""


def _figure(text: str) -> float:
    value = float(text)
    if repr(value) != text or "e" in text or text.endswith(".0"):
        raise _OddError
    return value


def _whole(text: str) -> int:
    if len(text) > _SAFE_DIGITS:
        raise _OddError
    return int(text)


def _no_number(text: str) -> float:
    raise _OddError(text)


_decode = json.JSONDecoder(parse_float=_figure, parse_int=_whole, parse_constant=_no_number).decode


def _is_canonical(text: str, body: dict[str, Any], *, plain: bool) -> bool:
    try:
        # Most bodies are plain, and of those Python's own writer is three times as fast.
        return (_write(body) if plain else canonical(body)) == text
    except ValueError:  # it holds what is no number
        return False
