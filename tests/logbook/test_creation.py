from __future__ import annotations

import errno
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from logbook.kit import component, names_in, record

from riglog.errors import BusyError, LibraryError
from riglog.logbook import Entry, Logbook
from riglog.logbook.creation import create, empty_library

# Dies by SIGKILL at its n-th contact with the file system.
KILLED_AT = """
import os, signal, sys
from pathlib import Path
import riglog.logbook.creation
from riglog.logbook import Logbook

path, left = Path(sys.argv[1]), int(sys.argv[2])
folder = str(path.parent)

def watch(event, arguments):
    global left
    if any(isinstance(each, str) and each.startswith(folder) for each in map(str, arguments)):
        left -= 1
        if left < 0:
            os.kill(os.getpid(), signal.SIGKILL)

sys.addaudithook(watch)
Logbook.create(path).close()
print("made")
"""


def test_an_existing_library_is_left_as_it_is(path: Path, entries: list[Entry]) -> None:
    before = path.read_bytes()
    with Logbook.create(path) as log:
        assert list(log.log()) == entries
    assert path.read_bytes() == before
    assert create(path) is False


def test_something_else_in_its_place_is_left_as_it_is(path: Path) -> None:
    path.write_text("shopping list")
    with pytest.raises(LibraryError):
        Logbook.create(path)
    assert path.read_text() == "shopping list"


def test_folders_on_the_way_are_made(tmp_path: Path) -> None:
    path = tmp_path / "one" / "two" / "kit.db"
    Logbook.create(path).close()
    assert names_in(path.parent) == ["kit.db"]


def test_the_file_gets_the_rights_that_the_user_gives_new_files(path: Path) -> None:
    before = os.umask(0o027)
    try:
        Logbook.create(path).close()
    finally:
        os.umask(before)
    assert path.stat().st_mode & 0o777 == 0o640


def test_names_that_look_like_a_question_or_an_escape_are_plain_names(tmp_path: Path) -> None:
    for name in ("a?mode=ro#x.db", "100%20.db", "Röhre ä.db", "'; --.db"):
        path = tmp_path / name
        with Logbook.create(path) as log:
            record(log, component("lens-35"))
        with Logbook.open(path) as log:
            assert log.subjects("component") == ["lens-35"]
    assert len(names_in(tmp_path)) == 4


def test_of_many_who_make_it_at_once_all_get_the_same_library(path: Path) -> None:
    with ThreadPoolExecutor(8) as pool:
        made = list(pool.map(lambda _: create(path), range(16)))
    assert made.count(True) == 1
    assert names_in(path.parent) == [path.name]
    assert path.read_bytes() == empty_library()


def test_a_file_made_in_the_same_instant_is_never_written_over(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The faster one's file appears after the look and before the name is given."""
    fsync = os.fsync

    def faster(handle: int) -> None:
        if not path.exists():
            path.write_text("the faster one's")
        fsync(handle)

    monkeypatch.setattr(os, "fsync", faster)
    assert create(path) is False
    assert path.read_text() == "the faster one's"
    assert names_in(path.parent) == [path.name]


def test_a_disk_that_knows_no_second_names_gets_its_library_too(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(self: Path, target: Path) -> None:  # noqa: ARG001 - as the real one is called
        raise PermissionError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(Path, "hardlink_to", refused)
    assert create(path) is True
    assert create(path) is False
    assert names_in(path.parent) == [path.name]
    Logbook.open(path).close()


@pytest.mark.parametrize(
    ("number", "kind"),
    [(errno.ENOSPC, BusyError), (errno.EDQUOT, BusyError), (errno.EROFS, LibraryError)],
)
def test_a_disk_that_cannot_hold_it_is_told_and_left_clean(
    path: Path, monkeypatch: pytest.MonkeyPatch, number: int, kind: type[Exception]
) -> None:
    def refused(_: int) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", refused)
        with pytest.raises(kind, match=r"kit\.db"):
            create(path)
    assert names_in(path.parent) == []
    assert create(path) is True


def test_killed_at_any_step_it_leaves_no_library_or_a_whole_one(tmp_path: Path) -> None:
    outcomes = []
    for moment in range(40):
        path = tmp_path / str(moment) / "kit.db"
        command = [sys.executable, "-c", KILLED_AT, str(path), str(moment)]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        outcomes.append(path.exists())
        if done.stdout:
            break
        assert done.returncode == -9, done.stderr
        with Logbook.create(path) as log:  # no clean-up in between
            record(log, component("lens-35"))
            assert log.subjects("component") == ["lens-35"]
    else:
        pytest.fail("it was never made")
    assert outcomes.index(True) >= 3, "killed too late to have tested anything"
    assert False not in outcomes[outcomes.index(True) :]
