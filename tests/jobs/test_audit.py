from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from riglog.errors import LibraryError
from riglog.jobs.audit import AuditAnswer, audit

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.library import Library


def tamper(path: Path, *statements: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for statement in statements:
            connection.execute(statement)


def test_a_library_as_it_was_recorded_is_sound(logged: Library, path: Path) -> None:
    logged.use("a-cam")
    assert audit(path) == AuditAnswer(str(path), 9)


def test_all_damage_is_told_and_nothing_is_changed(logged: Library, path: Path) -> None:
    with logged:
        pass
    tamper(
        path,
        "DROP TRIGGER entries_are_never_changed",
        "UPDATE entries SET author = 'somebody' WHERE seq IN (2, 5)",
    )
    before = path.read_bytes()
    with pytest.raises(LibraryError) as caught:
        audit(path)
    told = [finding.file for finding in caught.value.findings]
    assert [where[:7] for where in told if where.startswith("entry")] == ["entry 2", "entry 5"]
    assert caught.value.status == 4
    assert "7 entries are sound" in caught.value.message
    assert path.read_bytes() == before


def test_tables_that_follow_from_the_entries_are_made_anew_where_asked(
    logged: Library, path: Path
) -> None:
    with logged:
        pass
    tamper(path, "DELETE FROM uses")
    with pytest.raises(LibraryError, match="1 thing is wrong"):
        audit(path)
    assert audit(path, rebuild=True) == AuditAnswer(str(path), 9, 9)
    assert audit(path) == AuditAnswer(str(path), 9)
