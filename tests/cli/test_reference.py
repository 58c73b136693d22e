"""The page of all commands, against the commands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.cli import reference
from riglog.cli.commands import commands

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    import pytest
    from cli.conftest import Done


def section(name: str) -> str:
    return reference.text().partition(f"\n## {name}\n")[2].partition("\n## ")[0]


def test_the_page_is_what_the_commands_say(capsys: pytest.CaptureFixture[str]) -> None:
    assert reference.main(["--check"]) == 0
    assert capsys.readouterr().err == ""


def test_a_drifted_page_is_noticed_and_mended(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(reference, "FILE", tmp_path / "docs" / "commands.md")
    assert reference.main(["--check"]) == 1
    assert reference.main(["--write"]) == 0
    assert reference.main(["--check"]) == 0
    page = reference.FILE.read_text("utf-8")
    reference.FILE.write_text(page.replace("--want", "--wish", 1), encoding="utf-8")
    capsys.readouterr()
    assert reference.main(["--check"]) == 1
    message = "commands.md is not what the commands say; run it with --write\n"
    assert capsys.readouterr().err == message
    assert reference.main([]) == 2


def test_every_option_in_the_help_of_a_command_stands_in_its_section(
    riglog: Callable[..., Done],
) -> None:
    every = section("Every command")
    for name in commands():
        told = riglog(name, "--help").out
        options = {word for word in told.split() if word.startswith("--")} - {"--help"}
        assert [each for each in sorted(options) if each not in section(name) + every] == []


def test_an_option_that_takes_one_of_two_words_keeps_its_row_whole() -> None:
    assert r"| `--from up\|down` | Which way the nose pointed. |" in section("drop")


def test_what_must_be_given_stands_without_braces(riglog: Callable[..., Done]) -> None:
    assert "`riglog who ID[@VERSION] [FIELD]`" in section("who")
    first, *_ = riglog("who", "--help").out.splitlines()
    assert first == "Usage: riglog who [OPTIONS] ID[@VERSION] [FIELD]"
