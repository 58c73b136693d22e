"""That a library is sound is proven in one pass, whatever it holds; nothing else passes."""

from __future__ import annotations

import random
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from logbook.acts import undo
from logbook.auditing.test_audit import DERIVED
from logbook.kit import build, component, draft, fill, reading, record

from riglog.logbook import Logbook, aside
from riglog.logbook.auditing.audit import audit
from riglog.logbook.auditing.proof import proof
from riglog.logbook.connection import connect

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.logbook.fingerprint import Fingerprint


def proven(path: Path) -> Fingerprint | None:
    database = connect(path, write=False)
    try:
        with database.snapshot():
            return proof(database)
    finally:
        database.close()


def rich(path: Path) -> None:
    """Everything that an entry can hold and that follows from one."""
    fill(path)
    with Logbook.open(path, write=True) as log:
        (version,) = record(
            log,
            build(
                "b-cam",
                uses=("lens-35", "lens-75", "lens-35"),
                also={"arm-lift": "6 turns", "lift": 'a "quoted" key'},
                note="Größe \\ 5\n\u00e9\u0301 \U0001f3a5 tail",
                tags=["north", "b-cam", "north"],
            ),
        )
        plain, odd = record(
            log,
            reading(version, kind="drop", on="2026-03-12T09:10:00+01:00"),
            reading(version, times=(2.0,), note="windy", on="2026-03-13T09:10:00+01:00"),
        )
        record(log, draft("note", "b-cam", {"entry": odd.id, "text": "on the roof"}))
        record(log, draft("tag", "b-cam", {"entry": version.id, "tag": "night"}))
        (first,) = record(log, undo(plain))
        (change,) = record(log, build("b-cam", version.id, mode="low"))
        record(log, undo(change), undo(first, 1), component('odd "name"', note="drop"))
        record(log, draft("reading", "b-cam", {"kind": "north", "stand": {"version": version.id}}))
        record(log, draft("kits", "b-cam", {"anything": [{"deep": ["words"]}, 1, None, True]}))


@pytest.mark.parametrize("make", [fill, rich, lambda path: Logbook.create(path).close()])
def test_a_sound_library_is_proven_to_be_without_a_walk(
    path: Path, make: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert callable(make)
    make(path)
    with Logbook.open(path) as log:
        known, count = log.fingerprint(), len(list(log.log()))
    monkeypatch.delattr("riglog.logbook.auditing.audit.Walk")
    result = audit(path)
    assert (result.sound, result.damage) == (count, ())
    assert str(result.fingerprint) == known


MORE = [
    "UPDATE about SET counts = 1 - counts WHERE kind = 'note'",
    "UPDATE days SET day = '2026-03-11' WHERE entry = 6",
    "DELETE FROM days WHERE entry = 2",
    "UPDATE versions SET kind = 'rig' WHERE entry = 3",
    "UPDATE edges SET child = 11 WHERE child = 12",
    "UPDATE uses SET entry = CASE entry WHEN 6 THEN 2 ELSE entry END WHERE component = 'lens-35'",
    "INSERT INTO words (words, rowid, text) VALUES ('delete', 2, 'lens-35')",
    "DELETE FROM words_docsize WHERE id = 4",
    "DELETE FROM words_idx",
]


@pytest.mark.parametrize("statement", [*(each[0] for each in DERIVED), *MORE])
def test_nothing_is_proven_where_a_table_does_not_follow_from_the_entries(
    path: Path, statement: str
) -> None:
    rich(path)
    assert proven(path)
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute(statement)
        stranger.commit()
    assert proven(path) is None


def occurrences(path: Path) -> object:
    """Every word, where it is found."""
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute("CREATE VIRTUAL TABLE temp.found USING fts5vocab (main, words, instance)")
        try:
            return stranger.execute("SELECT * FROM temp.found").fetchall()
        except sqlite3.Error as error:
            return str(error)


def test_no_word_is_found_elsewhere_without_the_proof_failing(tmp_path: Path) -> None:
    """The words are kept in the database as bytes that SQLite's own check does not look into."""
    path = tmp_path / "kit.db"
    with Logbook.create(path) as log:
        record(log, *(component(f"lens-{n}", note=f"word{n:05d} x{n % 7}") for n in range(400)))
    whole, rng, changes = occurrences(path), random.Random(4), 0
    with closing(sqlite3.connect(path)) as stranger:
        pages = stranger.execute("SELECT id, block FROM words_data WHERE id > 10").fetchall()
        for _ in range(40):
            page, block = rng.choice(pages)
            changed = bytearray(block)
            changed[rng.randrange(len(changed))] ^= 1 << rng.randrange(8)
            sql = "UPDATE words_data SET block = ? WHERE id = ?"
            stranger.execute(sql, (bytes(changed), page))
            stranger.commit()
            if occurrences(path) != whole:
                changes += 1
                assert proven(path) is None
            stranger.execute(sql, (block, page))
            stranger.commit()
    assert changes > 20
    assert proven(path)


def test_a_large_library_is_compared_by_a_process_of_its_own_and_no_less_strictly(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "kit.db"
    rich(path)
    alone = proven(path)
    monkeypatch.setattr(aside, "LARGE", 0)
    assert proven(path) == alone is not None
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("DELETE FROM uses WHERE component = 'lens-35'")
    assert proven(path) is None


@pytest.mark.parametrize("python", ["/bin/false", "/nowhere/python"])
def test_where_no_other_process_can_be_had_this_one_compares(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, python: str
) -> None:
    path = tmp_path / "kit.db"
    rich(path)
    alone = proven(path)
    monkeypatch.setattr(aside, "LARGE", 0)
    monkeypatch.setattr(aside.sys, "executable", python)
    assert proven(path) == alone is not None
