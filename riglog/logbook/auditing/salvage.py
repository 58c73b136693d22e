"""A file whose end is missing, made readable as far as it goes."""

from __future__ import annotations

from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

_HEADER = 100
_MAGIC = b"SQLite format 3\x00"


def pages_missing(path: Path) -> int:
    """How many pages fewer than its header says an SQLite file has, counting a broken one."""
    page_size, pages = _header(path)
    return max(0, pages - path.stat().st_size // page_size) if page_size else 0


def _header(path: Path) -> tuple[int, int]:
    """Size and number of pages (file format, sections 1.3.2 and 1.3.7); 0, 0 where it is none."""
    with path.open("rb") as file:
        head = file.read(_HEADER)
    if len(head) < _HEADER or not head.startswith(_MAGIC):
        return 0, 0
    page_size = int.from_bytes(head[16:18], "big")
    return 65536 if page_size == 1 else page_size, int.from_bytes(head[28:32], "big")


@contextmanager
def filled_up(path: Path) -> Iterator[Path]:
    """A copy with empty pages for the missing ones, so that SQLite reads those that are there."""
    import shutil

    page_size, pages = _header(path)
    with TemporaryDirectory() as folder:
        copy = Path(shutil.copyfile(path, Path(folder, path.name)))
        with copy.open("r+b") as file:
            file.truncate(page_size * pages)
        yield copy
