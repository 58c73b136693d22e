from __future__ import annotations

import os
import random
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from logbook.kit import component, draft, names_in, record

from riglog.errors import LibraryError
from riglog.logbook import Entry, Logbook, schema
from riglog.logbook.auditing.audit import audit
from riglog.logbook.creation import empty_library

if TYPE_CHECKING:
    from collections.abc import Iterator

# Everything is imported before rights are given up: nobody may read the sources.
AS_NOBODY = """
import os, sys
from pathlib import Path
import hashlib, rfc8785, difflib, encodings.utf_16_be, urllib.parse
import riglog.logbook.creation, riglog.logbook.auditing.audit
from logbook.kit import component, record
from riglog.errors import RiglogError
from riglog.logbook import Logbook
from riglog.logbook.auditing.audit import audit

if os.getuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
path, job = Path(sys.argv[1]), sys.argv[2]
try:
    if job == "read":
        with Logbook.open(path) as log:
            print(len(list(log.log())), len(log.search("lens")), audit(path)[:2])
    elif job == "create":
        Logbook.create(path)
    else:
        with Logbook.open(path, write=True) as log:
            record(log, component("lens-99"))
        print("recorded")
except RiglogError as error:
    print(type(error).__name__, error.status, error)
"""


@pytest.fixture
def shared() -> Iterator[Path]:
    """A folder that somebody without rights can reach; pytest's own are closed to others."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder
        folder.chmod(0o755)


def as_nobody(path: Path, job: str, root: Path) -> str:
    done = subprocess.run(
        [sys.executable, "-c", AS_NOBODY, str(path), job],
        env={"PYTHONPATH": f"{root}:{root / 'tests'}"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    return done.stdout


def filled(path: Path) -> Path:
    with Logbook.create(path) as log:
        record(log, component("lens-35"), component("lens-75"))
    return path


def test_a_read_only_file_in_a_read_only_folder_can_be_read_and_audited(
    shared: Path, pytestconfig: pytest.Config
) -> None:
    path = filled(shared / "kit.db")
    path.chmod(0o444)
    shared.chmod(0o555)
    answer = as_nobody(path, "read", pytestconfig.rootpath)
    assert answer == "2 2 (2, ())\n"
    assert names_in(shared) == ["kit.db"]


def test_a_write_to_a_read_only_file_is_refused(shared: Path, pytestconfig: pytest.Config) -> None:
    path = filled(shared / "kit.db")
    path.chmod(0o444)
    before = path.read_bytes()
    answer = as_nobody(path, "write", pytestconfig.rootpath)
    assert answer.startswith("LibraryError 4 the library ")
    assert "is read-only" in answer
    assert path.read_bytes() == before


def test_a_write_in_a_read_only_folder_is_refused(
    shared: Path, pytestconfig: pytest.Config
) -> None:
    path = filled(shared / "kit.db")
    path.chmod(0o666)
    shared.chmod(0o555)
    answer = as_nobody(path, "write", pytestconfig.rootpath)
    assert answer.startswith("LibraryError 4 the library ")
    assert "the folder must be writable too" in answer
    with Logbook.open(path) as log:
        assert log.subjects("component") == ["lens-35", "lens-75"]


def test_a_library_cannot_be_made_in_a_read_only_folder(
    shared: Path, pytestconfig: pytest.Config
) -> None:
    shared.chmod(0o555)
    answer = as_nobody(shared / "kit.db", "create", pytestconfig.rootpath)
    assert answer.startswith("LibraryError 4 the library ")
    assert "cannot be made: Permission denied; choose another folder" in answer
    assert names_in(shared) == []


def test_a_file_of_somebody_else_that_may_not_be_read_is_refused(
    shared: Path, pytestconfig: pytest.Config
) -> None:
    if os.getuid() != 0:
        pytest.skip("only root can own what the child cannot read")
    path = filled(shared / "kit.db")
    path.chmod(0o600)
    assert as_nobody(path, "read", pytestconfig.rootpath).startswith("LibraryError 4 the library")


def refused(path: Path, *, write: bool) -> LibraryError:
    """What opening says; the file is as it was before."""
    before = path.read_bytes() if path.is_file() else None
    with pytest.raises(LibraryError) as caught:
        Logbook.open(path, write=write)
    assert (path.read_bytes() if path.is_file() else None) == before
    assert caught.value.hint
    return caught.value


@pytest.mark.parametrize("write", [False, True])
class TestRefused:
    def test_no_file(self, path: Path, write: bool) -> None:
        assert "there is no library at" in str(refused(path, write=write))
        assert not path.exists()

    def test_an_empty_file(self, path: Path, write: bool) -> None:
        path.touch()
        assert "is an empty file" in str(refused(path, write=write))

    def test_a_folder(self, tmp_path: Path, write: bool) -> None:
        assert "is no file" in str(refused(tmp_path, write=write))

    @pytest.mark.parametrize("content", [b"riglog: 1\n", b"\x00" * 8192, b"SQLite format 3\x00"])
    def test_no_database(self, path: Path, write: bool, content: bytes) -> None:
        path.write_bytes(content)
        assert "is no library" in str(refused(path, write=write))

    def test_a_database_of_another_program(self, path: Path, write: bool) -> None:
        with closing(sqlite3.connect(path)) as stranger:
            stranger.execute("CREATE TABLE entries (seq INTEGER PRIMARY KEY, id, body)")
        assert "is a database of another program" in str(refused(path, write=write))

    def test_a_newer_library(self, path: Path, write: bool) -> None:
        path.write_bytes(empty_library())
        with closing(sqlite3.connect(path)) as stranger:
            stranger.execute(f"PRAGMA user_version = {len(schema.STEPS) + 1}")
        error = refused(path, write=write)
        assert "was written by a newer riglog" in str(error)
        assert error.hint == "install the newest riglog"

    @pytest.mark.usefixtures("entries")
    @pytest.mark.parametrize("left", ["48 bytes", "30 %", "99.9 %"])
    def test_a_library_cut_short(self, path: Path, write: bool, left: str) -> None:
        size = path.stat().st_size
        count, unit = left.split()
        os.truncate(path, int(float(count) * (size / 100 if unit == "%" else 1)))
        assert refused(path, write=write).status == 4

    @pytest.mark.usefixtures("entries")
    def test_a_library_of_which_nothing_is_left_is_no_stranger(
        self, path: Path, write: bool
    ) -> None:
        os.truncate(path, 48)
        error = refused(path, write=write)
        assert "cut so short that nothing of it is left" in error.message
        assert "take it from a backup or a bundle" in error.hint

    @pytest.mark.usefixtures("entries")
    def test_a_library_of_noise(self, path: Path, write: bool) -> None:
        path.write_bytes(random.Random(1).randbytes(path.stat().st_size))
        assert "is no library" in str(refused(path, write=write))


HOSTILE = [
    "CREATE TRIGGER spy AFTER INSERT ON entries BEGIN DELETE FROM uses; END",
    "CREATE TRIGGER void BEFORE INSERT ON entries BEGIN SELECT RAISE(IGNORE); END",
    "DROP TRIGGER entries_are_never_removed",
    "DROP TABLE uses",
    "DROP VIEW builds",
    "ALTER TABLE versions ADD COLUMN mine TEXT",
]


@pytest.mark.parametrize("statement", HOSTILE)
def test_nothing_is_written_where_the_schema_was_altered(
    path: Path, entries: list[Entry], statement: str
) -> None:
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute(statement)
    error = refused(path, write=True)
    assert "was altered by another program" in error.message
    assert "audit" in error.hint
    with Logbook.open(path) as log:
        assert list(log.log()) == entries


def test_tables_and_views_of_others_do_no_harm(path: Path, entries: list[Entry]) -> None:
    with closing(sqlite3.connect(path)) as stranger:
        stranger.executescript("CREATE TABLE mine (x); CREATE VIEW ours AS SELECT * FROM builds")
    with Logbook.open(path, write=True) as log:
        record(log, component("lens-99"))
        assert len(list(log.log())) == len(entries) + 1


def test_a_read_undoes_a_write_that_was_interrupted(path: Path, entries: list[Entry]) -> None:
    """The journal of a half-done write lies beside the file, as after kill -9."""
    journal = Path(f"{path}-journal")
    with closing(sqlite3.connect(path, isolation_level=None)) as writer:
        writer.executescript("PRAGMA cache_size=1; PRAGMA cache_spill=1; BEGIN IMMEDIATE")
        for n in range(200):
            writer.execute("INSERT INTO choices VALUES (?, ?, '')", (f"author {n}", "x" * 400))
        torn, hot = path.read_bytes(), journal.read_bytes()
    assert torn[: 16 * 4096] != path.read_bytes()[: 16 * 4096] or len(torn) > path.stat().st_size
    path.write_bytes(torn)
    journal.write_bytes(hot)
    with Logbook.open(path) as log:
        assert list(log.log()) == entries
        assert log.chosen("author 3") is None
    assert not journal.exists()


# --- steps of the schema ---------------------------------------------------------------------


def next_step(run: schema.Run) -> None:
    run("CREATE TABLE kits (id TEXT PRIMARY KEY) STRICT, WITHOUT ROWID")


@pytest.fixture
def next_version(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program of the next version, whose schema has one more table."""
    expected = schema.expected()
    statements: list[str] = []
    next_step(statements.append)
    monkeypatch.setattr(schema, "expected", lambda: expected | {("table", "kits"): statements[0]})
    monkeypatch.setattr(schema, "STEPS", [*schema.STEPS, next_step])


def copy_of(path: Path) -> Path:
    return path.with_name(f"{path.name}.version-{len(schema.STEPS)}")


@pytest.mark.usefixtures("entries", "next_version")
def test_an_older_library_is_not_read_as_it_is(path: Path) -> None:
    error = refused(path, write=False)
    assert "was written by an older riglog" in error.message
    assert f"riglog list builds --db {path}" in error.hint


def test_a_writer_brings_an_older_library_up_to_date_and_keeps_a_copy(
    path: Path, entries: list[Entry], request: pytest.FixtureRequest
) -> None:
    request.getfixturevalue("next_version")
    with Logbook.open(path, write=True) as log:
        assert list(log.log()) == entries
        assert log._database.rows("SELECT * FROM kits") == []
        assert log._database.row("PRAGMA user_version") == (len(schema.STEPS),)
    request.getfixturevalue("monkeypatch").undo()
    with Logbook.open(copy_of(path)) as copy:
        assert list(copy.log()) == entries
        assert copy.search("lens-35")
    assert names_in(path.parent) == ["kit.db", copy_of(path).name]


def test_a_library_of_the_first_version_learns_of_notes_and_undos(
    path: Path, entries: list[Entry]
) -> None:
    """Its tables are those of today but two, its views were others."""
    with closing(sqlite3.connect(path)) as stranger:
        for name in [name for kind, name in schema.expected() if kind == "view"]:
            stranger.execute(f"DROP VIEW {name}")
        stranger.execute("CREATE VIEW components AS SELECT 'as it was' AS id")
        stranger.executescript("DROP TABLE about; DROP TABLE days")
        stranger.execute("PRAGMA user_version = 1")
        stranger.commit()
    reader = refused(path, write=False)
    assert "was written by an older riglog" in reader.message
    with Logbook.open(path, write=True) as log:
        assert list(log.log()) == entries
        (note,) = record(log, draft("note", "lens-35", {"text": "soft"}))
        assert log.search("soft") == [note]
    assert audit(path)[:2] == (len(entries) + 1, ())
    assert "kit.db.version-1" in names_in(path.parent)


def test_a_step_that_fails_changes_nothing(
    path: Path, entries: list[Entry], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(run: schema.Run) -> None:
        next_step(run)
        run("CREATE TABLE kits (twice)")

    before = path.read_bytes()
    with monkeypatch.context() as patch:
        patch.setattr(schema, "STEPS", [*schema.STEPS, broken])
        with pytest.raises(LibraryError, match="already exists"):
            Logbook.open(path, write=True)
    assert path.read_bytes() == before
    with Logbook.open(path, write=True) as log:
        assert list(log.log()) == entries


@pytest.mark.usefixtures("entries")
def test_a_library_from_before_days_were_filed_has_them_filed(path: Path) -> None:
    with closing(sqlite3.connect(path)) as stranger:
        days = stranger.execute("SELECT * FROM days").fetchall()
        stranger.executescript("DROP TABLE days; DROP TABLE about; PRAGMA user_version = 1")
    Logbook.open(path, write=True).close()
    with closing(sqlite3.connect(path)) as stranger:
        assert stranger.execute("SELECT * FROM days").fetchall() == days
    assert audit(path).damage == ()
