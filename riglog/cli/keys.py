"""Single keys of a terminal, read as they are pressed; the terminal is left as it was found."""

from __future__ import annotations

import os
import signal
import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, NoReturn

from riglog.errors import CallError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from types import FrameType

# A key such as an arrow sends several bytes at once.
_MOST_BYTES = 64


@contextmanager
def pressed() -> Iterator[Callable[[], str]]:
    """A function that waits for a key and gives its character; "" when the terminal is gone.

    Whatever ends the block, an interrupt, a signal or an error, the terminal is put back.

    Raises
    ------
    CallError
        If there is no terminal to press keys on.
    """
    try:
        import termios
    except ImportError as error:  # a system with another kind of terminal
        raise CallError("this system has no terminal to read keys from", hint=_HINT) from error
    if not (sys.stdin and sys.stdin.isatty()):
        raise CallError("there is no terminal to press keys on", hint=_HINT)
    terminal = sys.stdin.fileno()
    before = termios.tcgetattr(terminal)
    with _ended_by_signals():
        try:
            termios.tcsetattr(terminal, termios.TCSADRAIN, _single_keys(before))
            yield lambda: _key(terminal)
        finally:
            termios.tcsetattr(terminal, termios.TCSADRAIN, before)


_HINT = "time it by hand, and type the seconds"


def _single_keys(before: list[Any]) -> list[Any]:
    """The terminal's settings with keys as they come, unseen; Ctrl-C is what it was.

    Ctrl-Z is a key like any other: a rig that swings does not wait for a shell.
    """
    import termios

    iflag, oflag, cflag, lflag, ispeed, ospeed, characters = before
    lflag &= ~(termios.ICANON | termios.ECHO)
    characters = [*characters]
    characters[termios.VMIN], characters[termios.VTIME] = 1, 0
    characters[termios.VSUSP] = b"\0"
    return [iflag, oflag, cflag, lflag, ispeed, ospeed, characters]


def _key(terminal: int) -> str:
    try:
        return os.read(terminal, _MOST_BYTES).decode(errors="replace")[:1]
    except OSError:  # hung up
        return ""


@contextmanager
def _ended_by_signals() -> Iterator[None]:
    """Signals that would end the process at once end the block in order instead."""
    names = (signal.SIGTERM, signal.SIGHUP)
    before = {name: signal.signal(name, _end) for name in names}
    try:
        yield
    finally:
        for name, handler in before.items():
            signal.signal(name, handler)


def _end(number: int, _frame: FrameType | None) -> NoReturn:
    raise SystemExit(128 + number)
