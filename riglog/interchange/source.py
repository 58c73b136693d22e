"""Bytes to text, and what to say where they are no text or no YAML."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from riglog.errors import CallError, Finding

LARGEST = 4 * 1024 * 1024

_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")
# json.dumps writes what lies beyond U+FFFF as two halves, which YAML does not know.
_HALVES = re.compile(
    r"(?<!\\)((?:\\\\)*)\\u([dD][89abAB][0-9a-fA-F]{2})\\u([dD][c-fC-F][0-9a-fA-F]{2})"
)

# The parser's words, and what most often is behind them.
_SYNTAX = (
    (
        "cannot start any token",
        "indent with spaces, and put a value that begins with @, ` or % in quotes",
    ),
    ("mapping values are not allowed", "put a value that holds a colon and a space in quotes"),
    ("unexpected end of stream", "a quote is not closed"),
    ("did not find expected ',' or", "a bracket is not closed, or a comma is missing"),
    ("did not find expected node content", "a bracket is not closed"),
    ("expected '-' indicator", "give all items of the list the same indent"),
    ("did not find expected key", "give all keys the same indent, and close every quote"),
    ("could not find expected ':'", "put a colon and a space after the key"),
)


class UnreadableError(Exception):
    """The bytes are no text, or too many: nothing after the finding can be trusted."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(str(finding))
        self.finding = finding


def read_bytes(path: str, largest: int = LARGEST) -> bytes:
    """The file, or one byte more than the largest can have.

    Raises
    ------
    CallError
        If it cannot be read.
    """
    try:
        with Path(path).open("rb") as stream:
            return stream.read(largest + 1)
    except OSError as error:
        message = f"cannot read {path}: {error.strerror or error}"
        raise CallError(message, hint="check the name and the rights of the file") from error
    except ValueError as error:  # a NUL in the name
        raise CallError(f"{path!r} is no file name") from error


def decode(data: bytes | str, file: str) -> str:
    """The text of a document.

    Raises
    ------
    UnreadableError
        If it is too large, no text or no UTF-8.
    """
    text = plain_text(data, file, LARGEST, "give a YAML or JSON document")
    return _HALVES.sub(_joined, text) if text.lstrip().startswith("{") else text


def plain_text(data: bytes | str, file: str, largest: int, wanted: str) -> str:
    """The text of a file, without a byte-order mark.

    Parameters
    ----------
    data
        Bytes are UTF-8.
    file
        Its name, for the finding.
    largest
        More bytes are refused.
    wanted
        What to give instead of a file that is no text.

    Raises
    ------
    UnreadableError
        If it is too large, no text or no UTF-8.
    """
    if len(data) > largest:
        message = f"the document is larger than {largest // 1024**2} MiB"
        raise UnreadableError(Finding(file, 0, message, "split it"))
    text = data if isinstance(data, str) else _utf8(data, file, wanted)
    text = text.removeprefix("\ufeff")
    if match := _CONTROL.search(text):
        line = text.count("\n", 0, match.start()) + 1
        message = f"a control character, U+{ord(match[0]):04X}"
        raise UnreadableError(Finding(file, line, message, "save the file as plain text"))
    return text


def _utf8(data: bytes, file: str, wanted: str) -> str:
    try:
        if b"\0" not in data:
            return data.decode()
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        message = f"the text is not UTF-8: byte 0x{data[error.start]:02X}"
        raise UnreadableError(Finding(file, line, message, "save the file as UTF-8")) from error
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise UnreadableError(Finding(file, 1, "the text is UTF-16", "save the file as UTF-8"))
    line = data.count(b"\n", 0, data.index(b"\0")) + 1
    message = "the file is binary, not text"
    raise UnreadableError(Finding(file, line, message, wanted))


def _joined(match: re.Match[str]) -> str:
    high, low = int(match[2], 16), int(match[3], 16)
    return match[1] + chr(0x10000 + ((high - 0xD800) << 10) + (low - 0xDC00))


def syntax_finding(error: Any, file: str) -> Finding:
    """What the YAML parser stumbled over, and what most often is behind it."""
    mark = error.problem_mark or error.context_mark
    line = mark.line + 1 if mark else 0
    began = error.context_mark
    message = f"this is not YAML: {error.problem or error.context}"
    if began and began.line + 1 < line:
        message = f"{message}, {error.context} that begins on line {began.line + 1}"
    mend = next((mend for words, mend in _SYNTAX if words in str(error.problem)), "")
    return Finding(file, line, message, mend or "check quotes, brackets and indents here")
