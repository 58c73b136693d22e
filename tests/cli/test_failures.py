"""Exit status, standard output and standard error of what cannot be done."""

from __future__ import annotations

import json
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from cli.conftest import Done
from library.kit import WHOLE, entries, written

from riglog import cli
from riglog.cli import failures, output
from riglog.errors import (
    AmbiguousError,
    BusyError,
    DocumentError,
    Finding,
    LibraryError,
    RiglogError,
    UnreachableError,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    Riglog = Callable[..., Done]

PROGRAM = str(Path(sys.executable).with_name("riglog"))
FINDINGS = (Finding("kit.yaml", 7, "lens-35 mass: a bare number", "write 1.12 kg"),)


@pytest.mark.parametrize(
    ("error", "status"),
    [
        (DocumentError("1 mistake in 1 file", findings=FINDINGS), 2),
        (AmbiguousError('"lens" fits several', hint="it could mean lens-35 or lens-75"), 2),
        (UnreachableError("no mark drops in 0.4 s", hint="1.2 s is the shortest"), 3),
        (LibraryError("the library is damaged"), 4),
        (BusyError("somebody else is writing", hint="try again"), 5),
    ],
)
def test_every_error_has_its_status_its_words_and_its_json(
    capsys: pytest.CaptureFixture[str], error: RiglogError, status: int
) -> None:
    assert failures.report(error, as_json=True) == status
    told = capsys.readouterr()
    assert json.loads(told.out)["error"] == {
        "status": status,
        "message": error.message,
        "hint": error.hint,
        "findings": [
            {
                "file": "kit.yaml",
                "line": 7,
                "message": "lens-35 mass: a bare number",
                "mend": "write 1.12 kg",
            }
        ]
        if error.findings
        else [],
    }
    lines = [str(each) for each in error.findings] + [f"riglog: {error.message}"]
    assert told.err.splitlines() == lines + ([f"  {error.hint}"] if error.hint else [])
    failures.report(error, as_json=False)
    assert capsys.readouterr().out == ""


def test_every_mistake_of_a_document_is_one_line_with_its_place(
    riglog: Riglog, db: Path, tmp_path: Path
) -> None:
    text = WHOLE.replace("4.21 kg", "4.21").replace("on: stage}", "on: stgae}")
    (file,) = written(tmp_path, text)
    riglog("init")
    done = riglog("add", file, "--json")
    assert (done.status, entries(db)) == (2, [])
    first, second, last = done.err.splitlines()
    assert first.startswith(f"{file}:3: body-north mass: ")
    assert second.startswith(f"{file}:24: a-cam parts.slide-2.on: there is no mount stgae; ")
    assert last == "riglog: 2 mistakes in 1 file: nothing was recorded"
    assert [each["line"] for each in json.loads(done.out)["error"]["findings"]] == [3, 24]


def foreign(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE recipes (name TEXT)")


def newer(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA user_version = 99")


def cut_short(path: Path) -> None:
    os.truncate(path, path.stat().st_size // 3)


def emptied(path: Path) -> None:
    os.truncate(path, 0)


def text(path: Path) -> None:
    path.write_text("the gimbal was at 487\n" * 200)


def folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


COMMANDS = (
    ["list", "builds"],
    ["show", "a-cam"],
    ["history", "a-cam"],
    ["use", "a-cam"],
    ["predict", "a-cam"],
    ["swap", "a-cam", "lens-35=lens-75"],
    ["drop", "a-cam", "3.1"],
    ["audit"],
)


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (foreign, "is a database of another program"),
        (newer, "was written by a newer riglog"),
        (cut_short, "damaged"),
        (emptied, "is an empty file"),
        (text, "is no library"),
        (folder, "is no file"),
    ],
)
def test_a_library_that_cannot_be_used_is_refused_by_every_command_and_left_as_it_is(
    riglog: Riglog, kit: str, db: Path, spoil: Callable[[Path], None], told: str
) -> None:
    if spoil is foreign:
        db.unlink()
    spoil(db)
    before = db.read_bytes() if db.is_file() else b""
    for words in (*COMMANDS, ["add", kit]):
        done = riglog(*words, "--json")
        error = json.loads(done.out)["error"]
        assert (done.status, error["status"]) == (4, 4), words
        # An audit looks closer, and says more.
        assert told in error["message"] or words == ["audit"], words
        assert str(db) in error["message"], words
        assert "Traceback" not in done.err
    assert (db.read_bytes() if db.is_file() else b"") == before


AS_NOBODY = """\
import os, sys
from riglog.cli import main
spare, path, *words = sys.argv[1:]
main([*words, "--db", spare])  # loads what may lie where nobody can read
os.geteuid() == 0 and os.setuid(65534)
print("as nobody", file=sys.stderr)
sys.exit(main([*words, "--db", path]))
"""


def as_nobody(spare: Path, path: Path, *words: str) -> Done:
    call = [sys.executable, "-c", AS_NOBODY, str(spare), str(path), *words]
    done = subprocess.run(call, capture_output=True, text=True, check=False)
    return Done(done.returncode, done.stdout, done.stderr.partition("as nobody\n")[2])


def test_a_read_only_library_answers_and_records_nothing(kit: str, db: Path) -> None:
    assert kit
    # pytest's own folders are closed to others.
    with tempfile.TemporaryDirectory() as name:
        folder, path = Path(name), Path(name, "kit.db")
        shutil.copy(db, path)
        (document,) = written(folder, WHOLE.replace("1.12 kg", "1.15 kg"))
        path.chmod(0o444)
        folder.chmod(0o755)
        answer = as_nobody(db, path, "predict", "a-cam")
        assert (answer.status, answer.err) == (0, "")
        before = path.read_bytes()
        for words in (["drop", "a-cam", "3.1"], ["use", "a-cam"], ["add", document]):
            answer = as_nobody(db, path, *words)
            assert answer.status == 4
            assert "is read-only" in answer.err
        assert path.read_bytes() == before


def test_somebody_who_writes_is_waited_for_and_then_told(
    riglog: Riglog, kit: str, db: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert kit
    before = entries(db)
    monkeypatch.setattr("riglog.logbook.connection.TIMEOUT_S", 0.05)
    with closing(sqlite3.connect(db, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        done = riglog("drop", "a-cam", "3.1")
        assert (done.status, done.out) == (5, "")
        assert "try again" in done.err
        assert riglog("list", "builds").status == 0
        other.execute("ROLLBACK")
    assert entries(db) == before


def test_a_name_that_would_steer_a_terminal_is_spelled_out(riglog: Riglog, kit: str) -> None:
    assert kit
    for words in (["show", "\x1b[31mlens"], ["show", "\u202elens"], ["\x1b]0;x\x07"]):
        done = riglog(*words)
        assert done.status in {2, 3}
        assert not set(done.out + done.err) & {"\x1b", "\x07", "\u202e"}


def test_text_for_people_has_no_escapes_in_it_whatever_it_is_made_of(
    capsys: pytest.CaptureFixture[str],
) -> None:
    output.say("a\x1b[31mb\u202ec\td\re")
    assert capsys.readouterr().out == "a\\x1b[31mb\\u202ec\\td\\re\n"


def test_an_interrupt_is_130_and_quiet(
    riglog: Riglog, kit: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    assert kit
    monkeypatch.setattr("riglog.jobs.listing.list_", interrupted)
    assert riglog("list") == (130, "", "")
    monkeypatch.setattr("riglog.cli.failures.run", interrupted)
    assert cli.main(["list"]) == 130


def test_ctrl_c_during_a_write_leaves_the_library_as_it_was(
    kit: str, db: Path, tmp_path: Path
) -> None:
    assert kit
    before = entries(db)
    lens = "  - {{id: lens-x{0}, kind: lens, mass: 1 kg}}\n"
    many = "components:\n" + "".join(map(lens.format, range(20000)))
    (file,) = written(tmp_path, many)
    with subprocess.Popen([PROGRAM, "add", file], stderr=subprocess.PIPE) as process:
        while not Path(f"{db}-journal").exists() and process.poll() is None:
            time.sleep(0.002)
        process.send_signal(signal.SIGINT)
        error = process.communicate()[1]
    assert (process.returncode, error) == (130, b"")
    assert entries(db) == before


def test_a_reader_who_has_gone_is_no_failure(program: Riglog, kit: str) -> None:
    assert kit
    for words in ("list components", "--help", "list components --json"):
        done = subprocess.run(
            f"set -o pipefail; '{PROGRAM}' {words} | true",
            shell=True,
            executable="/bin/bash",
            capture_output=True,
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, b"")
    assert program("list", "components").status == 0


@pytest.mark.parametrize("words", [*COMMANDS, ["neutral", "487mm=3.0", "495mm=1.8"]])
def test_every_command_runs_with_its_output_closed(kit: str, words: list[str]) -> None:
    assert kit
    done = subprocess.run(
        [PROGRAM, *words],
        stderr=subprocess.PIPE,
        preexec_fn=lambda: os.close(1),
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_an_answer_that_finds_no_room_is_said(kit: str) -> None:
    assert kit
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [PROGRAM, "list"], stdout=full, stderr=subprocess.PIPE, text=True, check=False
        )
    assert done.returncode == 5
    assert done.stderr.startswith("riglog: the answer could not be written: No space left")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_help_that_finds_no_room_is_said() -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [PROGRAM, "swap", "--help"], stdout=full, stderr=subprocess.PIPE, text=True, check=False
        )
    assert (done.returncode, done.stderr.splitlines()) == (
        5,
        ["riglog: the help could not be written: No space left on device"],
    )


def test_the_program_keeps_status_answers_and_talk_apart(program: Riglog, kit: str) -> None:
    assert kit
    assert program("list", "builds").err == ""
    slip = program("lst")
    assert (slip.status, slip.out) == (2, "")
    assert slip.err == (
        'riglog: there is no command "lst"\n  did you mean list? riglog --help shows all commands\n'
    )
    unknown = program("show", "lens-50")
    assert (unknown.status, unknown.out) == (3, "")
    assert unknown.err == (
        'riglog: there is no record "lens-50"\n  did you mean lens-75 or lens-35?\n'
    )


def test_a_terminal_that_knows_ascii_alone_gets_an_answer(program: Riglog, kit: str) -> None:
    assert kit
    done = program("use", "cam", "--author", "Zo\u00eb", "--json", PYTHONIOENCODING="ascii")
    assert json.loads(done.out)["author"] == "Zo\u00eb"
    program("drop", "a-cam", "3.1", "--author", "Zo\u00eb")
    done = program("list", "readings", PYTHONIOENCODING="ascii")
    assert (done.status, "Zo\\xeb" in done.out) == (0, True)


def test_what_is_no_answer_of_ours_is_a_bug_and_keeps_its_trace(
    riglog: Riglog, kit: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    assert kit
    monkeypatch.setattr("riglog.jobs.listing.list_", broken)
    with pytest.raises(ZeroDivisionError):
        riglog("list")
