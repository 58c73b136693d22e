from __future__ import annotations

import sqlite3
from contextlib import closing
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from logbook.acts import ACTS, START, Act, drafts, shuffled, undo
from logbook.kit import build, component, draft, reading, record

from riglog.logbook import Logbook
from riglog.logbook.auditing.audit import audit
from riglog.logbook.connection import Database, Values
from riglog.logbook.filing import file_after
from riglog.logbook.rebuild import rebuild

if TYPE_CHECKING:
    from collections.abc import Iterable

    from riglog.logbook import Draft, Entry


def test_an_undone_reading_is_not_there_and_not_gone(log: Logbook) -> None:
    (version,) = record(log, build("a-cam", uses=("lens-35",)))
    one, two = record(log, reading(version), reading(version, times=(9.9,)))
    record(log, undo(two))
    assert log.readings_of("a-cam") == [one]
    assert log.readings_using("lens-35") == [one]
    assert log.readings_alike("lens-35", ["lens-35"], limit=9, each=9, among=9) == [one]
    assert log.entry(two.id) == two
    assert [each.entry for each in log.versions("reading", "a-cam")] == [one, two]


def test_an_undo_that_is_undone_restores(log: Logbook) -> None:
    (version,) = record(log, build("a-cam"))
    (read,) = record(log, reading(version))
    last = read
    for n in range(1, 6):
        (last,) = record(log, undo(last, n))
        assert log.readings_of("a-cam") == ([] if n % 2 else [read])


def test_a_correction_that_is_undone_gives_way_to_what_it_corrected(log: Logbook) -> None:
    (version,) = record(log, build("a-cam"))
    (first,) = record(log, reading(version))
    (second,) = record(log, reading(version, first.id, times=(2.9,)))
    record(log, undo(second))
    assert log.readings_of("a-cam") == [first]


def test_a_correction_of_an_undone_correction_counts_alone(log: Logbook) -> None:
    """One person undoes a correction while another, apart from her, corrects it again."""
    (version,) = record(log, build("a-cam"))
    (first,) = record(log, reading(version))
    (second,) = record(log, reading(version, first.id, times=(2.9,)))
    (third,) = record(log, reading(version, second.id, times=(2.8,)))
    record(log, undo(second))
    assert log.readings_of("a-cam") == [third]


def test_an_undo_may_come_before_what_it_undoes(log: Logbook, path: Path) -> None:
    (version,) = record(log, build("a-cam"))
    late = reading(version)
    record(log, draft("undo", "a-cam", {"reverses": [late.envelope.id]}))
    (read,) = record(log, late)
    assert log.readings_of("a-cam") == []
    assert log.entry(read.id) == read
    assert audit(path).damage == ()


def test_a_thing_that_was_added_by_mistake_stays_where_others_refer_to_it(log: Logbook) -> None:
    (lens,) = record(log, component("lens-355"))
    record(log, undo(lens))
    assert log.heads("component", "lens-355") == [lens]


def test_of_two_heads_the_undone_one_gives_way(log: Logbook) -> None:
    (first,) = record(log, component("lens-35", mass=1.1))
    mine, theirs = record(
        log,
        component("lens-35", first.id, mass=1.2),
        component("lens-35", first.id, mass=1.3),
    )
    (undone,) = record(log, undo(theirs))
    assert log.heads("component", "lens-35") == [mine]
    record(log, undo(undone))
    assert log.heads("component", "lens-35") == [mine, theirs]


def test_a_settled_fork_that_is_undone_is_open_again(log: Logbook) -> None:
    (first,) = record(log, component("lens-35", mass=1.1))
    one, two = record(log, *(component("lens-35", first.id, mass=mass) for mass in (1.2, 1.3)))
    (settled,) = record(log, component("lens-35", one.id, two.id, mass=1.25))
    record(log, undo(settled))
    assert log.heads("component", "lens-35") == [one, two]


def counting(entries: list[Entry]) -> set[str]:
    """Ids of what counts, word for word as the definition has it."""

    @cache
    def undone(entry_id: str) -> bool:
        undos = [e for e in entries if e.kind == "undo" and entry_id in e.body["reverses"]]
        return any(not undone(each.id) for each in undos)

    @cache
    def superseded(entry_id: str) -> bool:
        children = [each.id for each in entries if entry_id in each.parents]
        return any(not undone(child) or superseded(child) for child in children)

    def left_out(each: Entry) -> bool:
        return undone(each.id) and (each.kind != "build" or bool(each.parents))

    return {each.id for each in entries if not left_out(each) and not superseded(each.id)}


def states(log: Logbook) -> set[str]:
    kinds = ("build", "reading", "note", "undo")
    return {each.id for kind in kinds for each in log.heads(kind, "a-cam")}


@settings(max_examples=60, deadline=None)
@given(ACTS, st.integers(0, 2**31))
def test_what_counts_follows_from_the_entries_in_whatever_order_they_come(
    acts: list[Act], seed: int
) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        with Logbook.create(folder / "kit.db") as log:
            (version,) = record(log, START)
            every = [version, *record(log, *shuffled(drafts(acts, version, folder), seed))]
            assert states(log) == counting(every)
        assert audit(folder / "kit.db").damage == ()
        rebuild(folder / "kit.db")
        with Logbook.open(folder / "kit.db") as log:
            assert states(log) == counting(every)


SPOILED = [
    ("DELETE FROM about", "lacks rows of"),
    ("UPDATE about SET counts = 1 - counts", "lacks rows of"),
    ("INSERT INTO about VALUES ('x', 'undo', 1, 2)", "holds rows that do not follow from entry 2"),
]


@pytest.mark.parametrize(("statement", "what"), SPOILED)
def test_what_is_said_of_entries_is_compared_with_the_entries(
    log: Logbook, path: Path, statement: str, what: str
) -> None:
    (version,) = record(log, build("a-cam"))
    (read,) = record(log, reading(version))
    record(log, undo(read), draft("note", "a-cam", {"text": "windy", "entry": read.id}))
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute(statement)
        stranger.commit()
    (damage,) = audit(path).damage
    assert damage.where == "table about"
    assert damage.what.startswith(what)
    rebuild(path)
    assert audit(path).damage == ()


def test_a_reading_taken_for_counting_that_was_undone_is_damage(log: Logbook, path: Path) -> None:
    (version,) = record(log, build("a-cam"))
    (read,) = record(log, reading(version))
    record(log, undo(read))
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute("UPDATE versions SET superseded = 0 WHERE kind = 'reading'")
        stranger.commit()
    (damage,) = audit(path).damage
    assert (damage.where, damage.what) == ("table versions", f"lacks rows of entry {read.seq}")


def test_an_undo_that_was_tampered_with_accuses_nothing_but_itself(
    log: Logbook, path: Path
) -> None:
    (version,) = record(log, build("a-cam"))
    (read,) = record(log, reading(version))
    (undone,) = record(log, undo(read))
    with closing(sqlite3.connect(path)) as stranger:
        stranger.executescript(
            f"DROP TRIGGER entries_are_never_changed;"
            f"UPDATE entries SET author = 'x' WHERE seq = {undone.seq}"
        )
    where = [damage.where for damage in audit(path).damage]
    assert where == [
        "trigger entries_are_never_changed",
        f"entry {undone.seq} ({undone.id[:8]}, undo a-cam)",
    ]


class Counting(Database):
    """A connection that counts what it is asked."""

    asked = 0

    def rows(self, sql: str, values: Values = ()) -> list[tuple[Any, ...]]:
        self.asked += 1
        return super().rows(sql, values)

    def run_many(self, sql: str, values: Iterable[Values]) -> None:
        self.asked += 1
        super().run_many(sql, values)


def chain(path: Path, length: int, *, newest_first: bool) -> tuple[Entry, list[Draft]]:
    """A reading, and an undo of it, an undo of that, and so on; in either order in the log."""
    with Logbook.create(path) as log:
        (version,) = record(log, build("a-cam"))
        (read,) = record(log, reading(version))
        undos: list[Draft] = []
        for n in range(length):
            last = undos[-1].envelope.id if undos else read.id
            undos.append(draft("undo", "a-cam", {"reverses": [last], "n": n}))
        record(log, *(undos[::-1] if newest_first else undos))
    return read, undos


def statements(path: Path) -> int:
    """How much is asked to find anew what counts, and that it comes out as it was."""
    tables = ("versions", "about")
    database = Counting(f"{path.absolute().as_uri()}?mode=rw", path, ())
    with closing(database):
        before = [database.rows(f"SELECT * FROM {table} ORDER BY 1, 2, 3, 4") for table in tables]
        with database.writing():
            for table in ("versions", "about", "edges", "uses", "days"):
                database.run(f"DELETE FROM {table}")
            database.run("INSERT INTO words (words) VALUES ('delete-all')")
            database.asked = 0
            file_after(database, 0)
        asked = database.asked
        after = [database.rows(f"SELECT * FROM {table} ORDER BY 1, 2, 3, 4") for table in tables]
    assert after == before
    return asked


@pytest.mark.parametrize("newest_first", [False, True])
def test_a_chain_of_undos_twice_as_long_takes_twice_as_much_to_take_in(
    tmp_path: Path, newest_first: bool
) -> None:
    short, long = tmp_path / "short.db", tmp_path / "long.db"
    chain(short, 60, newest_first=newest_first)
    chain(long, 120, newest_first=newest_first)
    assert statements(long) < 2.1 * statements(short)


def test_a_log_with_a_chain_of_a_thousand_undos_is_rebuilt(tmp_path: Path) -> None:
    path = tmp_path / "kit.db"
    read, undos = chain(path, 1001, newest_first=True)
    rebuild(path)
    with Logbook.open(path) as log:
        assert log.readings_of("a-cam") == []
        assert log.undone(read.id)
        counts = {each.id for each in log.heads("undo", "a-cam")}
    assert counts == {each.envelope.id for each in undos[::2]}
    assert audit(path).damage == ()
