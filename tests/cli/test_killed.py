"""Killed at any moment of any command that writes, the library is as before or as after it."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from library.kit import entries, written

from riglog.cli import main
from riglog.logbook.auditing.audit import audit

if TYPE_CHECKING:
    from collections.abc import Callable

KILLS = int(os.environ.get("RIGLOG_KILLS", "15"))  # in all; make bench asks for 200
PROGRAM = str(Path(sys.executable).with_name("riglog"))
LENS = "  - {{id: lens-x{0}, kind: lens, mass: 1 kg}}\n"


@pytest.fixture
def commands(kit: str, db: Path, tmp_path: Path) -> dict[str, list[str]]:
    """What writes to a library, each with as much as takes a while."""
    assert kit
    folder = tmp_path / "more"
    folder.mkdir()
    (many,) = written(folder, "components:\n" + "".join(map(LENS.format, range(300))))
    theirs = tmp_path / "theirs.db"
    shutil.copy(db, theirs)
    assert main(["add", many, "--db", str(theirs)]) == 0
    return {
        "add": ["add", many],
        "drop": ["drop", "a-cam", "3.1", "3.0"],
        "merge": ["merge", str(theirs)],
    }


def struck(words: list[str], delay_s: float | None) -> tuple[float, bool]:
    """Run a command and kill it after a while; how long it ran, and whether it had answered."""
    start = time.perf_counter()
    with subprocess.Popen([PROGRAM, *words], stdout=subprocess.PIPE) as process:
        if delay_s is not None:
            time.sleep(delay_s)
            process.send_signal(signal.SIGKILL)
        assert process.stdout
        answered = bool(process.stdout.read())
    return time.perf_counter() - start, answered


def test_killed_at_any_moment_a_library_is_as_before_or_as_after(
    commands: dict[str, list[str]], db: Path, riglog: Callable[..., object]
) -> None:
    assert riglog
    rng = random.Random(7)
    before = db.read_bytes()
    old = [entry.id for entry in entries(db)]
    cut = 0
    for words in commands.values():
        whole_s, answered = struck(words, None)
        assert answered
        count = len(entries(db))
        for _ in range(KILLS // len(commands)):
            db.write_bytes(before)
            # Most of a command's time goes before it writes.
            _, answered = struck(words, whole_s * rng.uniform(0.4, 1.0))
            there = [entry.id for entry in entries(db)]
            assert there[: len(old)] == old
            assert len(there) in {len(old), count}
            assert len(there) == count or not answered
            assert audit(db).damage == ()
            cut += len(there) == len(old)
        db.write_bytes(before)
    assert cut > KILLS // 10
