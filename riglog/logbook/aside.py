"""Work on a file done beside: by a process of its own, on a second processor if there is one.

Two threads would wait for each other within SQLite and Python.
"""

from __future__ import annotations

import sys
from contextlib import contextmanager
from functools import partial
from subprocess import DEVNULL, PIPE, Popen
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

_Found = TypeVar("_Found")

# From this many bytes on a second process is worth its start.
LARGE = 32 * 2**20


@contextmanager
def aside(
    file: Path, words: Sequence[str], here: Callable[[], _Found], read: Callable[[bytes], _Found]
) -> Iterator[Callable[[], _Found]]:
    """Begin the work; what the block gets waits for what was found.

    Of a small file it is done at once, and here.

    Parameters
    ----------
    file
        What the work is on, and how large; it must not change within the block.
    words
        A module of this program that does the work and prints what it found, and its words.
    here
        Does the same work in this process.
    read
        What was found, from what was printed.
    """
    process = None if file.stat().st_size < LARGE else _started(words)
    if process is None:
        found = here()
        yield lambda: found
        return
    with process:
        try:
            yield partial(_answer, process, here, read)
        finally:
            process.kill()


def _started(words: Sequence[str]) -> Popen[bytes] | None:
    try:
        command = [sys.executable, "-m", *words]
        return Popen(command, stdin=DEVNULL, stdout=PIPE, stderr=DEVNULL)  # noqa: S603 # ourselves
    except OSError:
        return None


def _answer(
    process: Popen[bytes], here: Callable[[], _Found], read: Callable[[bytes], _Found]
) -> _Found:
    """What the other process found; one that could not run leaves it to this one."""
    said, _ = process.communicate()
    return read(said) if process.returncode == 0 else here()
