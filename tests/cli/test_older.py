"""Libraries that older versions of the program wrote, asked by this one.

The files in ``older`` were made by the program itself, at the last commit before each step of the
schema: ``init``, ``add`` of a build with one lens, and one ``drop``.
"""

from __future__ import annotations

import gzip
import json
import os
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from riglog.logbook import schema

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from cli.conftest import Done

    Riglog = Callable[..., Done]

WRITTEN = sorted((Path(__file__).parent / "older").glob("step-*.db.gz"))
# What it needs is imported while it still may; then rights are given up.
AS_NOBODY = """
import os, sys
from riglog.cli import main
path, former, *words = sys.argv[1:]
assert main(["list", "builds", "--db", former]) == 0
sys.stdout.flush()
if os.getuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
sys.exit(main([*words, "--db", path]))
"""


def unpacked(packed: Path, path: Path) -> Path:
    path.write_bytes(gzip.decompress(packed.read_bytes()))
    return path


def version(path: Path) -> int:
    with closing(sqlite3.connect(path)) as stranger:
        (found,) = stranger.execute("PRAGMA user_version").fetchone()
        return int(found)


def log(path: Path) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as stranger:
        return stranger.execute("SELECT * FROM entries ORDER BY seq").fetchall()


@pytest.fixture(params=WRITTEN, ids=lambda packed: packed.name.partition(".")[0])
def older(request: pytest.FixtureRequest, db: Path) -> Path:
    """The library of the environment, as an older program left it."""
    return unpacked(request.param, db)


def test_there_is_a_file_of_every_step_before_this_one(tmp_path: Path) -> None:
    found = [version(unpacked(packed, tmp_path / "kit.db")) for packed in WRITTEN]
    assert found == list(range(1, len(schema.STEPS)))


@pytest.mark.parametrize(
    "words",
    [
        ["show", "a-cam"],
        ["list", "builds"],
        ["predict", "a-cam"],
        ["audit"],
        ["rebuild"],
        ["drop", "a-cam", "3.2"],
        ["merge", "OTHER"],
        ["backup", "COPY"],
    ],
)
def test_any_command_answers_from_an_older_library(
    riglog: Riglog, older: Path, tmp_path: Path, words: list[str]
) -> None:
    stood, before, was = older.read_bytes(), log(older), version(older)
    other = tmp_path / "other.db"
    riglog("init", "--db", str(other))
    places = {"OTHER": str(other), "COPY": str(tmp_path / "copy.db")}
    done = riglog(*(places.get(word, word) for word in words))
    copy = older.with_name(f"{older.name}.version-{was}")
    assert done.status == 0
    assert done.err == f"Brought up to date: {older}; as it was: {copy}\n"
    assert version(older) == len(schema.STEPS)
    assert log(older)[: len(before)] == before
    assert (version(copy), log(copy)) == (was, before)
    assert len(copy.read_bytes()) == len(stood)
    assert riglog("audit").err == ""


def test_an_answer_in_json_stands_alone_on_standard_output(riglog: Riglog, older: Path) -> None:
    done = riglog("list", "builds", "--json")
    (build,) = json.loads(done.out)
    assert (build["build"], build["version"]) == ("a-cam", 1)
    assert done.err.startswith(f"Brought up to date: {older}; ")


@pytest.mark.parametrize(
    "words",
    [
        ["add", "KIT", "--dry-run"],
        ["undo", "a-cam", "--dry-run"],
        ["log", "KIT", "a-cam", "--dry-run"],
        ["merge", "KIT", "--dry-run"],
        ["settle", "a-cam", "--dry-run"],
    ],
)
def test_a_dry_run_leaves_an_older_library_as_it_is(
    riglog: Riglog, older: Path, tmp_path: Path, words: list[str]
) -> None:
    kit = tmp_path / "kit.yaml"
    kit.write_text("riglog: 1\n")
    stood = older.read_bytes()
    done = riglog(*(str(kit) if word == "KIT" else word for word in words))
    assert (done.status, done.out) == (4, "")
    message, hint = done.err.splitlines()
    assert message == f"riglog: the library '{older}' was written by an older riglog"
    assert hint.endswith(f"brings it up to date and keeps a copy: riglog list builds --db {older}")
    assert older.read_bytes() == stood
    assert sorted(each.name for each in tmp_path.iterdir()) == ["kit.db", "kit.yaml"]


def test_readers_that_come_at_once_are_all_answered(older: Path) -> None:
    before, was = log(older), version(older)
    program = Path(sys.executable).with_name("riglog")
    ask = [program, "list", "builds", "--json"]
    asked = [
        subprocess.Popen(ask, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for _ in range(4)
    ]
    told = [(*each.communicate(), each.returncode) for each in asked]
    assert [(json.loads(out)[0]["build"], status) for out, _, status in told] == [("a-cam", 0)] * 4
    copy = older.with_name(f"{older.name}.version-{was}")
    assert "".join(err for _, err, _ in told).splitlines() == [
        f"Brought up to date: {older}; as it was: {copy}"
    ]
    assert (version(copy), log(copy)) == (was, before)
    assert (version(older), log(older)) == (len(schema.STEPS), before)


@pytest.fixture
def shared() -> Iterator[Path]:
    """A folder that somebody without rights can reach; pytest's own are closed to others."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder
        folder.chmod(0o755)


@pytest.mark.parametrize(("file", "folder"), [(0o444, 0o777), (0o666, 0o555), (0o444, 0o555)])
def test_only_what_cannot_be_written_is_refused_with_what_to_do(
    riglog: Riglog, db: Path, shared: Path, file: int, folder: int
) -> None:
    assert riglog("init").status == 0
    path = unpacked(WRITTEN[-1], shared / "kit.db")
    path.chmod(file)
    shared.chmod(folder)
    stood = path.read_bytes()
    done = subprocess.run(
        [sys.executable, "-c", AS_NOBODY, str(path), str(db), "show", "a-cam"],
        capture_output=True,
        text=True,
        check=False,
        env=os.environ,
    )
    assert done.returncode == 4
    message, hint = done.stderr.splitlines()
    older = f"the library '{path}' was written by an older riglog"
    assert message == f"riglog: {older} and is read-only"
    assert hint.startswith("  make file and folder writable, or copy the file")
    assert path.read_bytes() == stood
    assert [each.name for each in shared.iterdir()] == ["kit.db"]


@pytest.mark.usefixtures("older")
def test_somebody_elses_older_library_is_merged_and_left_as_it_is(
    riglog: Callable[..., Done], db: Path, tmp_path: Path
) -> None:
    ours, before = tmp_path / "ours.db", db.read_bytes()
    there = sorted(entry[1:] for entry in log(db))
    done = riglog("merge", str(db), "--db", str(ours))
    assert (done.status, done.err) == (0, "")
    assert sorted(entry[1:] for entry in log(ours)) == there
    assert db.read_bytes() == before
    assert riglog("audit", "--db", str(ours)).status == 0
