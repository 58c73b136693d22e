from __future__ import annotations

import os
import random
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from logbook.kit import AT, NO_SUCH, build, component, draft, fill, reading, record

from riglog.errors import LibraryError
from riglog.logbook import Entry, Logbook, schema
from riglog.logbook.auditing.audit import audit

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.logbook.auditing.damage import Damage

FLIPS = 300
NO_TRIGGERS = """
DROP TRIGGER entries_are_never_changed;
DROP TRIGGER entries_are_never_removed;
DROP TRIGGER entries_are_never_replaced;
"""


def tamper(path: Path, *statements: str) -> None:
    """As somebody would who removes the triggers and puts them back: the schema shows nothing."""
    triggers = [sql for (type_, _), sql in schema.expected().items() if type_ == "trigger"]
    with closing(sqlite3.connect(path)) as stranger:
        stranger.executescript(NO_TRIGGERS)
        for statement in (*statements, *triggers):
            stranger.execute(statement)
        stranger.commit()


def found(path: Path) -> list[tuple[str, str]]:
    return [(damage.where, damage.what) for damage in audit(path).damage]


def name(entry: Entry) -> str:
    return f"entry {entry.seq} ({entry.id[:8]}, {entry.kind} {entry.subject})"


def test_a_sound_library_has_no_damage(path: Path, entries: list[Entry]) -> None:
    before = path.read_bytes()
    assert audit(path)[:2] == (len(entries), ())
    assert path.read_bytes() == before


def test_an_empty_library_is_sound(path: Path) -> None:
    Logbook.create(path).close()
    assert audit(path)[:2] == (0, ())


@pytest.mark.parametrize(
    "change",
    ["body = replace(body, '1.12', '1.13')", f"at = replace(at, '{AT}', '2026-03-15T09:10:00Z')",
     "author = 'south'", "kind = 'rig'", f"parents = '[\"{NO_SUCH}\"]'",
     "id = replace(id, 'a', 'b')", "body = '{'",
     "body = body || ' '", "body = CAST(x'ff' AS TEXT)"],
)  # fmt: skip
def test_any_changed_column_of_an_entry_is_damage_of_that_entry(
    path: Path, entries: list[Entry], change: str
) -> None:
    tamper(path, f"UPDATE entries SET {change} WHERE seq = 2")
    result = audit(path)
    assert result.sound == len(entries) - 1
    of_entries = [damage for damage in result.damage if damage.where.startswith("entry")]
    assert [damage.where.split()[:2] for damage in of_entries] == [["entry", "2"]]
    assert "what needs it is refused, all else works" in str(of_entries[0])
    assert "backup" in str(of_entries[0])


def test_all_damaged_entries_are_listed_and_the_others_can_be_read(
    path: Path, entries: list[Entry]
) -> None:
    tamper(path, "UPDATE entries SET author = 'south' WHERE kind = 'reading'")
    wrong = [name(entry) for entry in entries if entry.kind == "reading"]
    result = audit(path)
    assert [damage.where for damage in result.damage] == wrong
    assert {damage.what for damage in result.damage} == {
        "is not what was recorded: its id does not fit"
    }
    with Logbook.open(path) as log:
        assert log.heads("component", "lens-35") == [entries[1]]
        with pytest.raises(LibraryError, match="entry 11 of the library is damaged"):
            log.readings_of("a-cam")


def test_a_changed_body_with_a_fitting_id_is_betrayed_by_those_who_name_it(
    path: Path, entries: list[Entry]
) -> None:
    """Whoever forges an entry and its id has to forge all that came after it."""
    first = entries[4]
    forged = draft("build", "a-cam", {**first.body, "mode": "low"}).envelope
    tamper(
        path,
        f"UPDATE entries SET body = '{forged.body}', id = '{forged.id}' WHERE seq = {first.seq}",
    )
    accused = {name(e) for e in entries if first.id in e.parents or e.kind == "reading"}
    assert accused <= {where for where, _ in found(path)}


def test_a_removed_entry_is_missed_where_it_was(path: Path, entries: list[Entry]) -> None:
    tamper(path, "DELETE FROM entries WHERE seq IN (3, 7, 8)")
    where = [damage for damage in found(path) if damage[0].startswith("entry")]
    assert where == [("entry 3", "was removed"), ("entry 7", "to 8 were removed"),
                     (name(entries[10]), f"supersedes {entries[5].id[:8]}, which is not here")][
        : len(where)
    ]  # fmt: skip


def test_entries_cut_off_the_end_are_missed(path: Path, entries: list[Entry]) -> None:
    last = len(entries)
    tamper(path, f"DELETE FROM entries WHERE seq > {last - 2}")
    assert (f"entry {last - 1}", f"to {last} were removed") in found(path)


def test_a_parent_that_comes_later_is_damage(path: Path, entries: list[Entry]) -> None:
    tamper(path, f"UPDATE entries SET seq = 99 WHERE seq = {entries[4].seq}")
    assert any("which was recorded after it" in what for _, what in found(path))


DERIVED = [
    ("DELETE FROM edges WHERE parent = 5 AND child = 12", "edges", "lacks rows of entry 12"),
    ("INSERT INTO edges VALUES (2, 3)", "edges", "holds rows that do not follow from entry 3"),
    ("DELETE FROM uses WHERE component = 'lens-35' AND entry > 7", "uses",
     "lacks rows of entries 8, 9, 10 and 11"),
    ("DELETE FROM uses WHERE component = 'lens-75'", "uses", "lacks rows of entry 12"),
    ("INSERT INTO uses VALUES ('lens-99', 7)", "uses",
     "holds rows that do not follow from entry 7"),
    ("INSERT INTO uses VALUES ('lens-75', 7)", "uses",
     "holds rows that do not follow from entry 7"),
    ("DELETE FROM versions WHERE entry = 9", "versions", "lacks rows of entry 9"),
    ("UPDATE versions SET superseded = 1 WHERE entry = 2", "versions", "lacks rows of entry 2"),
    ("UPDATE versions SET superseded = 0 WHERE entry = 5", "versions", "lacks rows of entry 5"),
    ("UPDATE versions SET number = 3 WHERE entry = 12", "versions", "lacks rows of entry 12"),
    ("UPDATE versions SET subject = 'x' WHERE entry = 12", "versions", "lacks rows of entry 12"),
    ("INSERT INTO versions VALUES ('rig', 'x', 0, 2, 1)", "versions",
     "holds rows that do not follow from entry 2"),
    ("DELETE FROM days WHERE entry = 3", "days", "lacks rows of entry 3"),
    ("UPDATE days SET day = '2026-03-15' WHERE entry = 4", "days", "lacks rows of entry 4"),
    ("INSERT INTO days VALUES ('2026-03-15', 2)", "days",
     "holds rows that do not follow from entry 2"),
    ("INSERT INTO words (words, rowid, text) VALUES ('delete', 3, 'lens-75')", "words",
     "finds 2 words wrongly, such as 75 and lens"),
    ("INSERT INTO words (rowid, text) VALUES (3, 'gaffer')", "words",
     "finds 1 word wrongly, such as gaffer"),
]  # fmt: skip


@pytest.mark.parametrize(("statement", "table", "what"), DERIVED)
@pytest.mark.usefixtures("entries")
def test_a_derived_table_that_does_not_follow_from_the_entries_is_damage(
    path: Path, statement: str, table: str, what: str
) -> None:
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute(statement)
        stranger.commit()
    damage = {each.where: each for each in audit(path).damage}
    assert damage[f"table {table}"].what == what
    assert "riglog rebuild" in damage[f"table {table}"].mend
    # A wrong edge is also a wrong head.
    assert set(damage) <= {f"table {table}", "table versions"}


def test_words_that_a_list_shows_and_no_search_finds_are_noticed(path: Path) -> None:
    with Logbook.create(path) as log:
        record(log, *(component(f"lens-{n}", note=f"word{n:05d}") for n in range(600)))
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute("DELETE FROM words_idx WHERE term = (SELECT max(term) FROM words_idx)")
        stranger.execute("CREATE VIRTUAL TABLE temp.t USING fts5vocab (main, words, row)")
        assert ("word00599",) in stranger.execute("SELECT term FROM temp.t").fetchall()
        stranger.commit()
    with Logbook.open(path) as log:
        assert log.search("word00599") == []
    (damage,) = audit(path).damage
    assert damage.where == "table words"
    assert "words wrongly, such as word00" in damage.what


@pytest.mark.parametrize(
    ("statement", "where"),
    [
        ("CREATE TRIGGER spy AFTER INSERT ON entries BEGIN DELETE FROM uses; END", "trigger spy"),
        ("CREATE TRIGGER spy AFTER INSERT ON choices BEGIN SELECT 1; END", "trigger spy"),
        ("CREATE TABLE mine (x)", "table mine"),
        ("CREATE VIEW mine AS SELECT 1", "view mine"),
        ("CREATE INDEX mine ON entries (author)", "index mine"),
        ("DROP VIEW builds", "view builds"),
        ("DROP TRIGGER entries_are_never_changed", "trigger entries_are_never_changed"),
        ("DROP TABLE choices", "table choices"),
    ],
)
def test_a_schema_that_is_not_ours_is_damage(
    path: Path, entries: list[Entry], statement: str, where: str
) -> None:
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute(statement)
    result = audit(path)
    assert [damage.where for damage in result.damage] == [where]
    assert result.sound == len(entries)


@pytest.mark.parametrize("table", ["edges", "uses", "versions", "words", "days"])
def test_a_derived_table_that_is_gone_does_not_stop_the_audit(
    path: Path, entries: list[Entry], table: str
) -> None:
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute(f"DROP TABLE {table}")
    result = audit(path)
    assert result.sound == len(entries)
    assert (f"table {table}", "is not there as riglog made it") in found(path)


@pytest.mark.parametrize(("share", "least"), [(0.3, 40), (0.6, 120), (0.9, 240), (0.999, 295)])
def test_a_library_cut_short_shows_what_is_left_of_it(path: Path, share: float, least: int) -> None:
    with Logbook.create(path) as log:
        (version,) = record(log, build("a-cam", uses=("lens-35",)))
        record(log, *(reading(version, times=(3.0, n), note="x" * 300) for n in range(300)))
    os.truncate(path, int(path.stat().st_size * share))
    cut = path.read_bytes()
    result = audit(path)
    assert path.read_bytes() == cut
    assert "is cut short" in result.damage[0].what
    assert least <= result.sound <= 301
    listed = [damage for damage in result.damage if damage.where.startswith("entry")]
    assert result.sound == 301 or listed or "SQLite finds" in str(result.damage)


def test_a_library_of_which_too_little_is_left_is_refused(path: Path, entries: list[Entry]) -> None:
    os.truncate(path, 4096 * 2)
    with pytest.raises(LibraryError, match="too little is left") as caught:
        audit(path)
    assert "backup" in caught.value.hint
    assert entries


@pytest.mark.parametrize("content", [b"", b"riglog: 1", b"SQLite format 3\x00" + b"\x00" * 32])
def test_what_cannot_be_told_to_be_a_library_is_refused(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    with pytest.raises(LibraryError):
        audit(path)


def contents(path: Path) -> object:
    """All that was recorded and all that follows from it, as another program reads it."""
    try:
        with closing(sqlite3.connect(path)) as stranger:
            return [
                stranger.execute(f"SELECT * FROM {table}").fetchall()
                for table in ("entries", "edges", "uses", "versions", "words_docsize")
            ] + [stranger.execute("SELECT rowid FROM words WHERE words MATCH 'lens'").fetchall()]
    except (sqlite3.Error, UnicodeDecodeError) as error:
        return str(error)


def test_every_flipped_bit_that_changes_what_is_there_is_noticed(tmp_path: Path) -> None:
    path = tmp_path / "kit.db"
    fill(path)
    whole = path.read_bytes()
    sound = contents(path)
    written = [at for at, byte in enumerate(whole) if byte]  # empty space holds nothing to lose
    rng = random.Random(20260314)
    changed = 0
    for _ in range(FLIPS):
        flipped = bytearray(whole)
        flipped[rng.choice(written)] ^= 1 << rng.randrange(8)
        path.write_bytes(flipped)
        noticed = damage_of(path)
        if contents(path) != sound:
            changed += 1
            assert noticed
    assert changed > FLIPS // 2


def damage_of(path: Path) -> bool:
    """Whether an audit notices something; it never fails in another way."""
    try:
        result = audit(path)
    except LibraryError:
        return True
    damage: tuple[Damage, ...] = result.damage
    return bool(damage)


def test_a_page_that_cannot_be_read_costs_its_own_entries_only(path: Path) -> None:
    with Logbook.create(path) as log:
        (version,) = record(log, build("a-cam", uses=("lens-35",)))
        made = record(log, *(reading(version, times=(3.0, n), note="x" * 300) for n in range(100)))
    content = path.read_bytes()
    page = content.index(made[50].id.encode()) // 4096 * 4096
    lost = [entry for entry in made if entry.body["note"] and page_holds(content, page, entry)]
    assert 3 <= len(lost) <= 8
    path.write_bytes(content[:page] + bytes(4096) + content[page + 4096 :])
    result = audit(path)
    unreadable = [damage.where for damage in result.damage if damage.what == "cannot be read"]
    assert unreadable == [f"entry {entry.seq}" for entry in lost]
    assert result.sound == 101 - len(lost)


def page_holds(content: bytes, page: int, entry: Entry) -> bool:
    return f"{entry.id}reading".encode() in content[page : page + 4096]
