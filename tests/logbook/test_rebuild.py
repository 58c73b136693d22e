from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from logbook.kit import component, record

from riglog.errors import LibraryError
from riglog.logbook import Logbook
from riglog.logbook.auditing.audit import audit
from riglog.logbook.rebuild import rebuild

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.logbook import Entry

TABLES = ("entries", "edges", "uses", "versions", "days", "choices")
SPOILED = {
    "rows are gone": "DELETE FROM uses; DELETE FROM edges; DELETE FROM versions; DELETE FROM days;"
    "INSERT INTO words (words) VALUES ('delete-all')",
    "rows are wrong": "UPDATE versions SET number = 9, superseded = 1; UPDATE uses SET entry = 1"
    " WHERE component = 'lens-75'; INSERT INTO words (rowid, text) VALUES (3, 'gaffer')",
    "tables are gone": "DROP TABLE uses; DROP TABLE words; DROP TABLE versions; DROP TABLE edges;"
    "DROP TABLE days",
    "a table is a view": "DROP TABLE uses; CREATE VIEW uses AS SELECT 'x' AS component, 1 AS entry",
    "views are gone": "DROP VIEW builds; DROP VIEW readings",
    "a view lies": "DROP VIEW builds; CREATE VIEW builds AS SELECT 'all well' AS note",
    "triggers are gone": "DROP TRIGGER entries_are_never_changed",
    "a trigger spies": "CREATE TRIGGER spy AFTER INSERT ON entries BEGIN DELETE FROM uses; END;"
    'CREATE TRIGGER "sp""y" AFTER INSERT ON uses BEGIN DELETE FROM edges; END',
}


def rows(path: Path) -> dict[str, list[object]]:
    with closing(sqlite3.connect(path)) as stranger:
        return {
            table: stranger.execute(f"SELECT * FROM {table} ORDER BY 1, 2").fetchall()
            for table in TABLES
        }


@pytest.mark.parametrize("damage", SPOILED)
def test_all_but_the_log_is_restored_from_the_log(
    path: Path, entries: list[Entry], damage: str
) -> None:
    sound = rows(path)
    with closing(sqlite3.connect(path)) as stranger:
        stranger.executescript(SPOILED[damage])
    assert audit(path).damage
    assert rebuild(path) == len(entries)
    assert audit(path)[:2] == (len(entries), ())
    assert rows(path) == sound
    with Logbook.open(path, write=True) as log:
        assert log.search("weich") == [entries[1]]
        record(log, component("lens-99"))


def test_a_sound_library_is_rebuilt_to_what_it_was(path: Path, entries: list[Entry]) -> None:
    sound = rows(path)
    assert rebuild(path) == len(entries)
    assert rows(path) == sound


def test_tables_of_others_stay(path: Path, entries: list[Entry]) -> None:
    with closing(sqlite3.connect(path)) as stranger:
        stranger.executescript("CREATE TABLE mine (x); INSERT INTO mine VALUES (1)")
    assert rebuild(path) == len(entries)
    with closing(sqlite3.connect(path)) as stranger:
        assert stranger.execute("SELECT * FROM mine").fetchall() == [(1,)]


@pytest.mark.parametrize(
    "damage",
    [
        "DROP TRIGGER entries_are_never_changed; UPDATE entries SET author = 'x' WHERE seq = 3",
        "DROP TRIGGER entries_are_never_removed; DELETE FROM entries WHERE seq = 3",
        "ALTER TABLE entries ADD COLUMN mine TEXT",
        "PRAGMA foreign_keys=OFF; DROP TABLE entries",
    ],
)
@pytest.mark.usefixtures("entries")
def test_a_damaged_log_is_not_papered_over(path: Path, damage: str) -> None:
    """Without the damaged entry, what it superseded would be the newest version again."""
    with closing(sqlite3.connect(path)) as stranger:
        stranger.executescript(damage)
    before = path.read_bytes()
    with pytest.raises(LibraryError, match="cannot be rebuilt") as caught:
        rebuild(path)
    assert "nothing was changed" in caught.value.hint
    assert path.read_bytes() == before
