from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from library.kit import entries

from riglog.errors import CallError, LibraryError
from riglog.jobs.audit import audit
from riglog.jobs.backup import backup

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.library import Library


def test_a_copy_of_a_library_in_use_is_the_library(
    logged: Library, path: Path, tmp_path: Path
) -> None:
    logged.use("a-cam")
    target = tmp_path / "copy.db"
    with logged.logbook.snapshot():  # somebody reads meanwhile
        answer = backup(path, target)
    assert entries(target) == entries(path)
    assert (answer.path, answer.entries) == (str(target), 9)
    assert answer.fingerprint == audit(target).fingerprint == audit(path).fingerprint


def test_while_somebody_else_writes_a_copy_is_what_was_there_before(
    logged: Library, path: Path, tmp_path: Path
) -> None:
    before = entries(path)
    assert logged
    with closing(sqlite3.connect(path, isolation_level=None)) as writer:
        writer.execute("BEGIN IMMEDIATE")
        writer.execute("INSERT INTO choices VALUES ('noor', 'a-cam', '')")
        backup(path, tmp_path / "copy.db")
        writer.execute("COMMIT")
    assert entries(tmp_path / "copy.db") == before
    assert audit(tmp_path / "copy.db").entries == 9


def test_nothing_is_written_over_and_no_damage_is_copied(
    logged: Library, path: Path, tmp_path: Path
) -> None:
    with logged:
        pass
    before = path.read_bytes()
    with pytest.raises(CallError, match="is there already"):
        backup(path, path)
    with pytest.raises(CallError, match="there is no folder"):
        backup(path, tmp_path / "nowhere" / "copy.db")
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute("DELETE FROM uses")
        stranger.commit()
    with pytest.raises(LibraryError, match="is damaged, and so would its copy be"):
        backup(path, tmp_path / "copy.db")
    assert sorted(each.name for each in tmp_path.iterdir() if "copy" in each.name) == []
    assert before
