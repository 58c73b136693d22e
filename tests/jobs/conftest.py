from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from library.kit import WHOLE, written

from riglog.library import Library

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a library may be made."""
    return tmp_path / "kit.db"


@pytest.fixture
def logged(path: Path, tmp_path: Path) -> Iterator[Library]:
    """A library with a small kit and two drops, the later at another mark."""
    with Library.create(path, "kim") as library:
        library.add(written(tmp_path, WHOLE))
        yield library
