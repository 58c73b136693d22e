"""The only place that prints: answers on standard output, talk on standard error."""

from __future__ import annotations

import json
import os
import re
import sys
from contextlib import suppress
from shutil import get_terminal_size
from typing import Any, TextIO

from riglog.errors import BusyError

# What steers a terminal, or turns the text behind it around.
_CONTROL = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")


class ClosedError(Exception):
    """Whoever read the output has gone."""


def say(text: str) -> None:
    """Print an answer."""
    _write(sys.stdout, harmless(text))


def tell(value: Any) -> None:
    """Print a value as JSON, in plain ASCII."""
    _write(sys.stdout, json.dumps(value, indent=2, allow_nan=False))


def complain(text: str) -> None:
    """Print a word to the person, beside the answer; nobody can be told that this failed."""
    with suppress(BusyError):
        _write(sys.stderr, harmless(text))


def asks(question: str) -> bool:
    """Whether a person at a terminal says yes; nobody is there where words come from elsewhere."""
    if sys.stdin is None or not sys.stdin.isatty():
        return False
    with suppress(BusyError):
        _write(sys.stderr, question, end="")
    return sys.stdin.readline().strip().casefold() in {"y", "yes"}


def is_terminal() -> bool:
    """Whether a person looks at the answer as it is printed."""
    return sys.stdout is not None and sys.stdout.isatty()


def columns() -> int:
    """How wide that is; 80 where nothing tells."""
    return get_terminal_size((80, 24)).columns


def can_show(signs: str) -> bool:
    """Whether these signs come out as they are."""
    if sys.stdout is None or os.environ.get("TERM") == "dumb":
        return False
    try:
        signs.encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def harmless(text: str) -> str:
    """The text with whatever could steer a terminal spelled out, lines as they are."""
    return _CONTROL.sub(lambda match: ascii(match[0])[1:-1], text)


def _write(stream: TextIO | None, text: str, end: str = "\n") -> None:
    if stream is None:  # closed before the program began
        return
    try:
        stream.write(f"{text}{end}")
        stream.flush()
    except BrokenPipeError as error:
        forget(stream)
        raise ClosedError from error
    except OSError as error:
        forget(stream)
        message = f"the answer could not be written: {error.strerror}"
        raise BusyError(message, hint="what the command records is recorded") from error


def forget(stream: TextIO) -> None:
    """Keep Python from trying again, when it ends, to write what nobody takes."""
    with open(os.devnull, "w", encoding="utf-8") as nothing:  # noqa: PTH123 # no path of anyone's
        os.dup2(nothing.fileno(), stream.fileno())


def tolerate() -> None:
    """Spell out what the terminal's encoding does not have, instead of failing at it."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
