"""What was acknowledged stays, whatever happens to the program or the disk."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from typing import TYPE_CHECKING

import pytest
from logbook.kit import component, names_in, record

from riglog.logbook import Logbook, schema
from riglog.logbook.auditing.audit import audit

if TYPE_CHECKING:
    from pathlib import Path

KILLS = int(os.environ.get("RIGLOG_KILLS", "25"))

# Appends, one commit after another, and says the id of each after its commit.
APPEND = """
import sys
from pathlib import Path
from logbook.kit import component
from riglog.errors import RiglogError
from riglog.logbook import Logbook

path, name, most = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
try:
    with Logbook.open(path, write=True) as log:
        for n in range(most):
            with log.writing() as transaction:
                made = [component(f"{name}-{n}-{m}", note="x" * 200) for m in range(1 + n % 5)]
                entries = transaction.append(made)
            print(*(entry.id for entry in entries), flush=True)
except RiglogError as error:
    print(type(error).__name__, error.status, error, flush=True)
"""


@pytest.fixture
def env(pytestconfig: pytest.Config) -> dict[str, str]:
    return {"PYTHONPATH": f"{pytestconfig.rootpath}:{pytestconfig.rootpath / 'tests'}"}


def check(path: Path, acknowledged: list[str]) -> None:
    """Everything acknowledged is there, once and in order, and the file is sound."""
    with Logbook.open(path) as log:
        there = [entry.id for entry in log.log()]
    assert [entry for entry in there if entry in set(acknowledged)] == acknowledged
    assert audit(path)[:2] == (len(there), ())


def test_killed_at_any_moment_nothing_acknowledged_is_lost(path: Path, env: dict[str, str]) -> None:
    Logbook.create(path).close()
    rng = random.Random(9)
    acknowledged: list[str] = []
    for kill in range(KILLS):
        command = [sys.executable, "-c", APPEND, str(path), f"run-{kill}", "100000"]
        with subprocess.Popen(command, env=env, stdout=subprocess.PIPE, text=True) as writer:
            assert writer.stdout
            # Counted in answers first: a busy machine makes few in any given time.
            first = [writer.stdout.readline() for _ in range(rng.randint(1, 9))]
            time.sleep(rng.uniform(0, 0.02))
            writer.send_signal(signal.SIGKILL)
            said = [*first, *writer.stdout.read().split("\n")[:-1]]
        assert writer.returncode == -signal.SIGKILL
        acknowledged += " ".join(said).split()
        check(path, acknowledged)
    assert len(acknowledged) > 3 * KILLS


def on_small_disk(
    tmp_path: Path, kilobytes: int, env: dict[str, str], *script: str
) -> tuple[str, Path]:
    """Run a script on a disk of so many kilobytes: what it said, and what the disk held then.

    The disk is there for the script alone, and goes with it.
    """
    disk, after = tmp_path / "disk", tmp_path / "after"
    disk.mkdir()
    shell = f'mount -t tmpfs -o size={kilobytes}k tmpfs "$0" && "$@"; cp -a "$0" "$0/../after"'
    command = ["unshare", "--mount", "--map-root-user", "sh", "-c", shell, str(disk)]
    if (
        not shutil.which("unshare")
        or subprocess.run([*command[:3], "true"], check=False).returncode
    ):
        pytest.skip("this system lets nobody have a disk of his own")
    done = subprocess.run(
        [*command, sys.executable, "-c", *script],
        env={**os.environ, **env},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stderr == ""
    return done.stdout, after


def test_a_full_disk_is_told_and_leaves_what_was_recorded(
    tmp_path: Path, env: dict[str, str]
) -> None:
    script = APPEND.replace("Logbook.open(path, write=True)", "Logbook.create(path)")
    name = str(tmp_path / "disk" / "kit.db")
    said, after = on_small_disk(tmp_path, 400, env, script, name, "run", "100000")
    *commits, error = said.strip().split("\n")
    assert error.startswith("BusyError 5 there is no room for the library")
    acknowledged = " ".join(commits).split()
    assert len(acknowledged) > 20
    assert names_in(after) == ["kit.db"]
    check(after / "kit.db", acknowledged)
    with Logbook.open(after / "kit.db", write=True) as log:  # where there is room
        record(log, component("lens-99"))


def test_no_room_for_a_new_library_leaves_nothing(tmp_path: Path, env: dict[str, str]) -> None:
    script = APPEND.replace("Logbook.open(path, write=True)", "Logbook.create(path)")
    name = str(tmp_path / "disk" / "kit.db")
    said, after = on_small_disk(tmp_path, 16, env, script, name, "run", "1")
    assert said.startswith("BusyError 5 there is no room for the library")
    assert names_in(after) == []


def test_a_write_error_is_told_and_leaves_what_was_recorded(
    path: Path, env: dict[str, str]
) -> None:
    """The system lets no file grow beyond a size: a write fails in the middle of a commit."""
    Logbook.create(path).close()
    limited = (
        "import resource; size = 400_000\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))\n" + APPEND
    )
    command = [sys.executable, "-c", limited, str(path), "run", "100000"]
    said = subprocess.run(command, env=env, capture_output=True, text=True, check=True).stdout
    *commits, error = said.strip().split("\n")
    assert error.startswith("LibraryError 4 the library")
    assert "the disk failed" in error
    assert len(commits) > 20
    check(path, " ".join(commits).split())


# Brings a library up to date with a step that takes its time, and dies in it.
MIGRATE = """
import os, signal, sys
from pathlib import Path
from riglog.logbook import Logbook, schema

path, moment = Path(sys.argv[1]), int(sys.argv[2])
left = moment

def tick():
    global left
    left -= 1
    if left < 0:
        os.kill(os.getpid(), signal.SIGKILL)

def watch(event, arguments):
    if any(str(each).startswith(str(path)) for each in arguments):
        tick()

@schema.step
def next_step(run):
    tick()
    run("CREATE TABLE kits (id TEXT PRIMARY KEY) STRICT, WITHOUT ROWID")
    for n in range(9):
        run(f"INSERT INTO kits VALUES ('kit-{n}')")
        tick()

expected = schema.expected()
statements = []
statement = "CREATE TABLE kits (id TEXT PRIMARY KEY) STRICT, WITHOUT ROWID"
schema.expected = lambda: expected | {("table", "kits"): statement}
sys.addaudithook(watch)
with Logbook.open(path, write=True) as log:
    print(len(list(log.log())), log._database.rows("SELECT count(*) FROM kits"))
"""


def test_killed_while_a_library_is_brought_up_to_date_it_is_the_old_or_the_new_one(
    tmp_path: Path, env: dict[str, str]
) -> None:
    killed = 0
    for moment in range(40):
        path = tmp_path / str(moment) / "kit.db"
        with Logbook.create(path) as log:
            record(log, *(component(f"lens-{n}") for n in range(5)))
        command = [sys.executable, "-c", MIGRATE, str(path)]
        done = subprocess.run(
            [*command, str(moment)], env=env, capture_output=True, text=True, check=False
        )
        if done.returncode == 0:
            break
        assert done.returncode == -signal.SIGKILL, done.stderr
        killed += 1
        again = subprocess.run(
            [*command, "1000"], env=env, capture_output=True, text=True, check=True
        )
        assert again.stdout == "5 [(9,)]\n"
        copy = path.with_name(f"kit.db.version-{len(schema.STEPS)}")
        with Logbook.open(copy) as log:
            assert len(list(log.log())) == 5
    assert killed > 6
