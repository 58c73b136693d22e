"""A write that fails at any step is told, leaves what was recorded, and the next one goes on."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import TYPE_CHECKING

import apsw
import pytest
from logbook.kit import component, fill, reading
from logbook.power_cut import Connection, Disk

from riglog.errors import BusyError, LibraryError, RiglogError
from riglog.logbook import Logbook

if TYPE_CHECKING:
    from riglog.logbook import Entry

NAME = "/kit.db"
STEPS = 40
CODES = {apsw.FullError: sqlite3.SQLITE_FULL, apsw.IOError: sqlite3.SQLITE_IOERR_WRITE}
ERRORS = {"full": (apsw.FullError, BusyError), "failing": (apsw.IOError, LibraryError)}


class Faulty(Disk):
    """A disk of which one step fails, and none after it."""

    def __init__(self, name: str, files: dict[str, bytes], fails_at: int, error: type) -> None:
        super().__init__(name, files, cut_at=fails_at)
        self.error = error
        self.failed = False

    def on(self) -> bool:
        self.left -= 1
        if self.left == -1:
            self.failed = True
            failure = self.error()
            failure.extendedresult = CODES[self.error]
            raise failure
        return True


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("whole") / "kit.db"
    fill(path)
    return path.read_bytes()


def appended(log: Logbook) -> list[Entry]:
    with log.writing() as transaction:
        (head,) = transaction.heads("component", "lens-35")
        version = transaction.version("build", "a-cam", "1").entry
        made = [component("lens-35", head.id, note="x" * 3000), reading(version, times=(9.0,))]
        return transaction.append(made)


@pytest.mark.parametrize("kind", ERRORS)
def test_a_write_that_fails_at_any_step_leaves_what_was_recorded(
    library: bytes, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    error, told = ERRORS[kind]
    monkeypatch.setattr("riglog.logbook.opening.check_present", lambda _: None)
    monkeypatch.setattr("riglog.logbook.opening._bytes_missing", lambda _: 0)
    failures = 0
    for step in range(STEPS):
        disk = Faulty(f"faulty-{kind}-{step}", {NAME: library}, step, error)
        with monkeypatch.context() as patched:
            patched.setattr(sqlite3, "connect", lambda *_, d=disk, **__: Connection(d, NAME, {}))
            failures += failing(disk, told)
        disk.unregister()
        if not disk.failed:
            break
    assert failures > 12


def failing(disk: Faulty, told: type[RiglogError]) -> int:
    """Append until a step fails; how often it did."""
    log = Logbook.open(Path(NAME), write=True)
    try:
        before = list(log.log())
        try:
            made = appended(log)
        except told:
            assert list(log.log()) == before
            made = appended(log)
        assert list(log.log()) == [*before, *made]
        return int(disk.failed)
    finally:
        log.close()
