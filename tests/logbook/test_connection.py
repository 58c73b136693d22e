from __future__ import annotations

import sqlite3
import subprocess
import sys
import time
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING

import pytest
from logbook.kit import component, record

from riglog.errors import BusyError, LibraryError
from riglog.logbook import Entry, Logbook
from riglog.logbook.connection import Database, connect

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

# Supersedes the head that it reads in the same transaction, many times.
WRITER = """
import sys
import time
from pathlib import Path
from logbook.kit import component
from riglog.logbook import Logbook

path, name, most, pause_s = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), float(sys.argv[4])
with Logbook.open(path, write=True) as log:
    for n in range(most):
        with log.writing() as transaction:
            (head,) = transaction.heads("component", "lens-35")
            transaction.append([component("lens-35", head.id, note=f"{name} {n}")])
        time.sleep(pause_s)
"""


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("riglog.logbook.connection.TIMEOUT_S", 0.05)


@pytest.mark.parametrize(
    ("write", "pragma", "value"),
    [
        (True, "journal_mode", "delete"),
        (True, "synchronous", 3),  # EXTRA
        (True, "foreign_keys", 1),
        (True, "trusted_schema", 0),
        (True, "cell_size_check", 1),
        (True, "busy_timeout", 5000),
        (True, "query_only", 0),
        (False, "trusted_schema", 0),
        (False, "cell_size_check", 1),
        (False, "busy_timeout", 5000),
        (False, "query_only", 1),
    ],
)
@pytest.mark.usefixtures("entries")
def test_every_connection_is_set_as_it_must_be(
    path: Path, write: bool, pragma: str, value: object
) -> None:
    with Logbook.open(path, write=write) as log:
        assert log._database.row(f"PRAGMA {pragma}") == (value,)


def test_a_library_in_another_journal_mode_is_brought_back(
    path: Path, entries: list[Entry]
) -> None:
    stranger = sqlite3.connect(path)
    assert stranger.execute("PRAGMA journal_mode=WAL").fetchone() == ("wal",)
    stranger.close()
    with Logbook.open(path) as log:
        assert list(log.log()) == entries
    with Logbook.open(path, write=True) as log:
        record(log, component("lens-99"))
    assert path.read_bytes()[18:20] == b"\x01\x01"  # file format, section 1.3.3: not WAL


@pytest.mark.usefixtures("entries")
def test_what_was_opened_for_reading_cannot_write(path: Path) -> None:
    before = path.read_bytes()
    with Logbook.open(path) as log, pytest.raises(LibraryError, match="read-only"):
        record(log, component("lens-99"))
    assert path.read_bytes() == before


def test_a_reader_sees_the_old_state_until_a_write_is_done(path: Path, log: Logbook) -> None:
    (first,) = record(log, component("lens-35"))
    with Logbook.open(path) as reader:
        with log.writing() as transaction:
            (second,) = transaction.append([component("lens-35", first.id, mass=1.0)])
            assert transaction.heads("component", "lens-35") == [second]
            assert reader.heads("component", "lens-35") == [first]
        assert reader.heads("component", "lens-35") == [second]


@pytest.mark.usefixtures("impatient")
def test_a_second_writer_waits_and_then_says_that_somebody_writes(path: Path, log: Logbook) -> None:
    with (
        Logbook.open(path, write=True) as other,
        log.writing(),
        pytest.raises(BusyError) as caught,
    ):
        record(other, component("lens-35"))
    assert caught.value.status == 5
    assert "somebody else is writing" in str(caught.value)
    assert isinstance(caught.value.__cause__, sqlite3.OperationalError)
    record(log, component("lens-35"))


@pytest.mark.usefixtures("impatient")
def test_a_write_that_a_snapshot_holds_up_is_undone_whole(path: Path, log: Logbook) -> None:
    (first,) = record(log, component("lens-35"))
    with Logbook.open(path) as reader:
        with reader.snapshot():
            assert list(reader.log()) == [first]
            with pytest.raises(BusyError):
                record(log, component("lens-75"))
            assert list(reader.log()) == [first]
        assert list(reader.log()) == [first]
    record(log, component("lens-75"))
    assert log.subjects("component") == ["lens-35", "lens-75"]


def test_a_snapshot_within_a_write_is_part_of_it(log: Logbook) -> None:
    with log.writing() as transaction:
        with log.snapshot() as reader:
            assert reader.subjects("component") == []
        transaction.append([component("lens-35")])
        assert transaction.versions("component", "lens-35")
    assert log.subjects("component") == ["lens-35"]


@contextmanager
def writers(
    path: Path, config: pytest.Config, names: list[str], most: int, pause_s: float = 0.0
) -> Iterator[list[str]]:
    """Programs that write at once; what they had to complain of, once all have ended."""
    env = {"PYTHONPATH": f"{config.rootpath}:{config.rootpath / 'tests'}"}
    errors: list[str] = []
    with ExitStack() as stack:
        running = [
            stack.enter_context(
                subprocess.Popen(
                    [sys.executable, "-c", WRITER, str(path), name, str(most), str(pause_s)],
                    env=env,
                    stderr=subprocess.PIPE,
                    text=True,
                )
            )
            for name in names
        ]
        yield errors
        errors.extend(writer.communicate()[1] for writer in running)


@pytest.mark.parametrize(("count", "most"), [(2, 60), (8, 12)])
def test_of_programs_that_write_at_once_none_loses_a_thing(
    path: Path, log: Logbook, pytestconfig: pytest.Config, count: int, most: int
) -> None:
    record(log, component("lens-35"))
    names = [f"writer-{n}" for n in range(count)]
    with writers(path, pytestconfig, names, most) as errors:
        pass
    assert errors == [""] * count
    versions = log.versions("component", "lens-35")
    assert [version.number for version in versions] == list(range(1, count * most + 2))
    notes = [version.entry.body.get("note") for version in versions]
    for name in names:
        mine = [note for note in notes if note and name in note]
        assert mine == [f"{name} {n}" for n in range(most)]


def test_whoever_reads_while_others_write_sees_whole_commits(
    path: Path, log: Logbook, pytestconfig: pytest.Config
) -> None:
    record(log, component("lens-35"))
    seen = []
    # Writers that never pause are done on a busy machine before the reader has its second turn.
    with writers(path, pytestconfig, ["one", "two"], 40, pause_s=0.02) as errors:
        until = time.monotonic() + 60
        while time.monotonic() < until and (not seen or seen[-1] < 81):
            with Logbook.open(path) as reader, reader.snapshot():
                numbers = [each.number for each in reader.versions("component", "lens-35")]
                (head,) = reader.heads("component", "lens-35")
                assert numbers == list(range(1, len(numbers) + 1))
                assert len(list(reader.log())) == len(numbers)
                assert reader.version_of(head).number == numbers[-1]
                seen.append(len(numbers))
    assert errors == ["", ""]
    assert seen == sorted(seen)
    assert len(set(seen)) > 2


def test_a_file_that_may_not_grow_is_told_as_no_room(log: Logbook) -> None:
    (first,) = record(log, component("lens-35"))
    pages = log._database.row("PRAGMA page_count")
    assert pages
    log._database.run(f"PRAGMA max_page_count = {pages[0]}")
    with pytest.raises(BusyError, match="no room for the library"):
        record(log, *(component(f"lens-{n}", note="x" * 500) for n in range(50)))
    assert list(log.log()) == [first]
    log._database.run("PRAGMA max_page_count = 100000")
    record(log, component("lens-75"))


def test_mistakes_of_ours_are_not_told_as_damage(log: Logbook) -> None:
    record(log, component("lens-35"))
    with pytest.raises(sqlite3.ProgrammingError):
        log._database.rows("SELECT 1", ("one too many",))
    log.close()
    with pytest.raises(sqlite3.ProgrammingError):
        log.subjects("component")


def test_every_error_of_sqlite_leaves_as_one_of_ours(path: Path, log: Logbook) -> None:
    record(log, component("lens-35"))
    database: Database = log._database
    for call in (database.rows, database.row, database.run, lambda sql: list(database.each(sql))):
        with pytest.raises(LibraryError, match="no such table") as caught:
            call("SELECT * FROM nowhere")
        assert isinstance(caught.value.__cause__, sqlite3.OperationalError)
    with pytest.raises(LibraryError, match="no such table"):
        database.run_many("INSERT INTO nowhere VALUES (?)", [(1,)])
    with pytest.raises(LibraryError, match="never changed"):
        database.run("UPDATE entries SET author = 'x'")
    path.with_name("folder.db").mkdir()
    with pytest.raises(LibraryError, match="cannot be opened"):
        connect(path.with_name("folder.db"), write=True)
