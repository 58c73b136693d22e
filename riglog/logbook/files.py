"""Files that are there in full under their name or not at all, whenever the machine stops."""

from __future__ import annotations

import errno
import os
from contextlib import contextmanager, suppress
from typing import IO, TYPE_CHECKING
from uuid import uuid4

from riglog.errors import BusyError, CallError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_NO_ROOM = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


class Rising:
    """A file on its way: its bytes go to ``stream``, and ``path`` is where it comes to stand."""

    def __init__(self, stream: IO[bytes], path: Path) -> None:
        self.stream, self.path = stream, path


@contextmanager
def rising(path: Path, folder: Path) -> Iterator[Rising]:
    """A new file in a folder, under its name once the block has ended, in place of another.

    Raises
    ------
    CallError
        If it cannot be written there.
    BusyError
        If there is no room.
    """
    beside = folder / f".{uuid4().hex}.new"
    try:
        with beside.open("xb") as stream:
            file = Rising(stream, path)
            yield file
            stream.flush()
            os.fsync(stream.fileno())
        beside.replace(file.path)
        sync_folder(folder)
    except OSError as error:
        raise translated(error, path) from error
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable, where the system can."""
    with suppress(OSError):  # some systems and shares cannot open a folder
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def no_room(error: OSError) -> bool:
    """Whether a write failed because the disk, or what a person may use of it, is full."""
    return error.errno in _NO_ROOM


def translated(error: OSError, path: Path) -> BusyError | CallError:
    """What to raise where a file cannot be written."""
    if no_room(error):
        return BusyError(f"there is no room for {str(path)!r}", hint="make room")
    message = f"{str(path)!r} cannot be written: {error.strerror}"
    return CallError(message, hint="name a place where you may write")
