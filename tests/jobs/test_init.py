from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from riglog.errors import LibraryError
from riglog.jobs.init import InitAnswer, init

if TYPE_CHECKING:
    from pathlib import Path


def test_a_library_is_made_once_and_then_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "kits" / "house.db"
    assert init(path, "kim") == InitAnswer(str(path), made=True)
    before = path.read_bytes()
    assert init(path, "kim") == InitAnswer(str(path), made=False)
    assert path.read_bytes() == before


def test_nothing_is_made_over_what_is_no_library(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("the gimbal was at 487\n" * 100)
    with pytest.raises(LibraryError):
        init(path, "kim")
    assert path.read_text().startswith("the gimbal")
