from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest

from riglog.logbook.auditing.salvage import filled_up, pages_missing

if TYPE_CHECKING:
    from pathlib import Path

PAGE = 4096

pytestmark = pytest.mark.usefixtures("entries")


@pytest.mark.parametrize(
    ("cut", "missing"), [(0, 0), (1, 1), (PAGE - 1, 1), (PAGE, 1), (PAGE + 1, 2)]
)
def test_missing_pages_are_counted_and_a_broken_one_is_missing(
    path: Path, cut: int, missing: int
) -> None:
    os.truncate(path, path.stat().st_size - cut)
    assert pages_missing(path) == missing


@pytest.mark.parametrize("content", [b"", b"x" * 200, b"SQLite format 3\x00"])
def test_what_is_no_database_misses_no_pages(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    assert pages_missing(path) == 0


def test_a_filled_up_copy_has_its_size_again_and_is_gone_afterwards(path: Path) -> None:
    whole = path.read_bytes()
    os.truncate(path, len(whole) - 5000)
    with filled_up(path) as copy:
        assert copy.read_bytes() == whole[:-5000] + bytes(5000)
        assert copy != path
    assert not copy.exists()
    assert path.read_bytes() == whole[:-5000]
