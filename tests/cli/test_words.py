"""What happens to the words of a call, before any job hears of them."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING

import pytest

from riglog.cli.commands import MEANT, MODULES, commands

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]

# One a line, so that two people can add one each.
NAMES = (
    "swap",
    "drop",
    "predict",
    "lens-table",
    "shot",
    "sensitivity",
    "trim",
    "spin",
    "find",
    "log",
    "neutral",
    "lean",
    "swing",
    "hold",
    "weigh",
    "cg",
    "inertia",
    "demo",
    "init",
    "add",
    "import",
    "export",
    "list",
    "show",
    "history",
    "diff",
    "who",
    "note",
    "tag",
    "name",
    "undo",
    "correct",
    "use",
    "check",
    "bundle",
    "merge",
    "settle",
    "audit",
    "rebuild",
    "backup",
)


def test_the_name_alone_is_answered_with_all_commands(riglog: Riglog) -> None:
    done = riglog()
    assert (done.status, done.err) == (0, "")
    assert re.findall(r"^  ([a-z][a-z-]*) +[A-Z]", done.out, re.MULTILINE) == list(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_every_command_explains_itself_by_example_in_80_columns(riglog: Riglog, name: str) -> None:
    done = riglog(name, "--help")
    assert done.status == 0
    assert f"Example:\n    riglog {name}" in done.out
    assert max(map(len, done.out.splitlines())) <= 80
    assert all(option in done.out for option in ("--db", "--author", "--json"))


def test_the_program_says_which_version_it_is(riglog: Riglog) -> None:
    assert re.fullmatch(r"riglog \d+\.\d+\.\d+\n", riglog("--version").out)


@pytest.mark.parametrize(
    ("words", "told", "hint"),
    [
        (["swpa"], 'there is no command "swpa"', "did you mean swap? riglog --help shows"),
        (["revert"], 'there is no command "revert"', "did you mean undo? riglog --help shows"),
        (["status"], 'there is no command "status"', "did you mean show or history?"),
        (["xyzzy"], 'there is no command "xyzzy"', "riglog --help shows all commands"),
        (["list", "--zzz"], 'there is no option "--zzz"', "write --db, --author, --json"),
        (["list", "--jsno"], 'there is no option "--jsno"', "did you mean --json?"),
        (["who"], "ID[@VERSION] is missing", "riglog who --help"),
        (["spin", "--turns", "3"], "--lens-end is missing", "riglog spin --help"),
        (["list", "--db"], "option '--db' requires an argument", "--help shows"),
        (["init", "here", "there"], "unexpected extra argument", "riglog init --help"),
        (["list", "lens"], "there is no library at", "riglog init makes one"),
    ],
)  # fmt: skip
def test_a_slip_is_answered_with_what_was_meant(
    riglog: Riglog, words: list[str], told: str, hint: str
) -> None:
    done = riglog(*words)
    assert done.status in {2, 4}
    assert done.out == ""
    first, second = done.err.splitlines()
    assert told in first
    assert hint in second
    assert first.startswith("riglog: ")


@pytest.mark.parametrize("words", [["swpa"], ["list", "--jsno"], ["who"], ["add"], ["demo", "x"]])
def test_a_slip_is_told_in_json_where_asked(riglog: Riglog, words: list[str]) -> None:
    done = riglog(*words, "--json")
    error = json.loads(done.out)["error"]
    assert list(error) == ["status", "message", "hint", "findings"]
    assert (error["status"], done.status) == (2, 2)
    assert error["message"] in done.err
    assert error["hint"]


def test_shared_options_may_stand_before_the_command_or_behind(
    riglog: Riglog, tmp_path: Path
) -> None:
    other = str(tmp_path / "other.db")
    assert json.loads(riglog("--json", "--db", other, "init").out) == {"path": other, "made": True}
    assert json.loads(riglog("init", "--json", "--db", other).out)["made"] is False
    # Of two, the last word counts.
    assert riglog("--db", other, "list", "--db", str(tmp_path / "none.db")).status == 4


def test_the_library_of_the_call_counts_before_that_of_the_environment(
    riglog: Riglog, db: Path, tmp_path: Path
) -> None:
    riglog("init", "--db", str(tmp_path / "other.db"))
    assert (tmp_path / "other.db").exists()
    assert not db.exists()


def test_a_figure_below_zero_is_no_option(riglog: Riglog) -> None:
    done = riglog("neutral", "-5mm=3.0", "3mm=1.8", "--json")
    assert [mark["pivot_mm"] for mark in json.loads(done.out)["marks"]] == [-5.0, 3.0]


def test_a_note_that_begins_with_a_minus_stays_as_it_was_typed(riglog: Riglog, kit: str) -> None:
    assert kit
    riglog("drop", "a-cam", "3.1", "--note", "-5 g at the front")
    assert json.loads(riglog("list", "readings", "--json").out)[0]["note"] == "-5 g at the front"


def test_no_command_is_left_without_a_test_of_its_help() -> None:
    assert tuple(commands()) == NAMES


def test_every_other_word_for_a_command_stands_for_one_that_there_is() -> None:
    for word, names in MEANT.items():
        assert word not in MODULES
        assert set(names) <= set(MODULES), word
