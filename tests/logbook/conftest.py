from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from logbook.kit import fill

from riglog.logbook import Entry, Logbook

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a library may be made."""
    return tmp_path / "kit.db"


@pytest.fixture
def log(path: Path) -> Iterator[Logbook]:
    """An empty library, open for writing."""
    with Logbook.create(path) as logbook:
        yield logbook


@pytest.fixture
def entries(path: Path) -> list[Entry]:
    """All entries of a small kit, in a library at ``path``."""
    return fill(path)
