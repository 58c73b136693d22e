"""Single values of a document: text to what a noun's field holds, or an error with the mend."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from riglog.errors import CallError, mend_word, quoted
from riglog.records.limits import ID_PATTERN, LONGEST_ID, Text, is_id

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

LONGEST_LINE = 200
LONGEST_NOTE = 10_000

# They turn the text behind them around, so that a sheet shows other words than are stored.
_OVERRIDES = re.compile("[\u202a-\u202e\u2066-\u2069]")
_CONTROLS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff]")
_BREAKS = re.compile("[\t\n\u2028\u2029]")
_FIGURE = re.compile(r"[+-]?(?:[0-9]{1,12}(?:\.[0-9]{0,30})?|\.[0-9]{1,30})")
_WHOLE = re.compile(r"[0-9]{1,6}")


def identifier(text: str) -> str:
    """An id as it is."""
    if is_id(text):
        return text
    raise CallError(f"{quoted(text)} is no id", hint=_id_mend(text))


def place(text: str) -> str:
    """A name, or two joined by a point."""
    names = text.split(".")
    if len(names) <= 2 and all(map(is_id, names)):
        return text
    hint = "write a name, or part.name, in small letters, digits and single hyphens"
    raise CallError(f"{quoted(text)} is no name of a place", hint=hint)


def _id_mend(text: str) -> str:
    if len(text) > LONGEST_ID:
        return f"write at most {LONGEST_ID} characters"
    likely = "-".join(re.findall(r"[a-z0-9]+", text.lower()))
    rule = "small letters, digits and single hyphens"
    return f"write {rule}, as {likely}" if re.fullmatch(ID_PATTERN, likely) else f"write {rule}"


def line(text: str) -> str:
    """Text on one line, in composed form (NFC)."""
    if _BREAKS.search(text):
        raise CallError(f"{quoted(text)} has more than one line", hint="write it on one")
    return _words(text, LONGEST_LINE)


def note(text: str) -> str:
    """Text on any number of lines, in composed form (NFC)."""
    return _words(text, LONGEST_NOTE)


def _words(text: str, longest: int) -> str:
    if len(text) > longest:
        raise CallError(f"{quoted(text)} has {len(text)} characters", hint=f"keep to {longest}")
    if match := _CONTROLS.search(text) or _OVERRIDES.search(text):
        message = f"{quoted(text)} holds the control character U+{ord(match[0]):04X}"
        raise CallError(message, hint="take it out")
    if text.isascii():
        return text
    import unicodedata  # 3 ms, and most text is plain

    return unicodedata.normalize("NFC", text)


def instant(text: str) -> str:
    """RFC 3339 with offset, from ISO 8601; without one it is the time of this machine.

    A day without an hour is taken to begin at midnight.
    """
    hint = "write a day and an hour, as 2026-03-14T09:10 or 2026-03-14T09:10:00+01:00"
    try:
        when = datetime.fromisoformat(text)
    except ValueError as error:
        raise CallError(f"{quoted(text)} is no time of a day", hint=hint) from error
    local = _local(when) if when.tzinfo is None else when
    offset = local.utcoffset()
    # RFC 3339 has no seconds in an offset; old local times do.
    if not offset or not offset.seconds % 60:
        return local.isoformat()
    try:
        return local.astimezone(UTC).isoformat()
    except OverflowError as error:
        raise CallError(f"{quoted(text)} is no time of a day", hint=hint) from error


def _local(when: datetime) -> datetime:
    """A time of this machine; within a day of the first and the last year there is none but UTC."""
    try:
        return when.astimezone()
    except (OverflowError, ValueError):
        return when.replace(tzinfo=UTC)


def day(text: str) -> str:
    """An ISO 8601 day."""
    try:
        parsed = date.fromisoformat(text)
    except ValueError as error:
        raise CallError(f"{quoted(text)} is no day", hint="write it as 2026-03-14") from error
    return parsed.isoformat()


def boolean(text: str) -> bool:
    """``true`` or ``false``."""
    if text in {"true", "false"}:
        return text == "true"
    meant = {"yes": "true", "on": "true", "no": "false", "off": "false"}.get(text.lower())
    meant = meant or (text.lower() if text.lower() in {"true", "false"} else "true or false")
    raise CallError(f"{quoted(text)} is neither true nor false", hint=f"write {meant}")


def figure(text: str) -> float:
    """A number without a unit."""
    if _FIGURE.fullmatch(text):
        return float(text) + 0.0
    raise CallError(f"{quoted(text)} is no plain number", hint="write a figure, as 23.976")


def whole(text: str) -> int:
    """A count."""
    if _WHOLE.fullmatch(text):
        return int(text)
    raise CallError(f"{quoted(text)} is no count", hint="write a whole figure, as 10")


def choice(text: str, words: tuple[str, ...]) -> str:
    """One of some words."""
    if text in words:
        return text
    raise CallError(f"{quoted(text)} is not known here", hint=mend_word(text, words))


TEXTS: Mapping[Text, Callable[[str], str]] = {
    Text.ID: identifier,
    Text.PLACE: place,
    Text.INSTANT: instant,
    Text.DAY: day,
    Text.NOTE: note,
}
