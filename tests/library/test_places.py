from __future__ import annotations

import getpass
from pathlib import Path

import pytest

from riglog.errors import CallError
from riglog.library.places import author_name, library_path


def test_the_library_named_in_the_call_counts_before_that_of_the_environment(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("RIGLOG_DB", "/kits/house.db")
    assert library_path("/kits/mine.db") == Path("/kits/mine.db")
    assert library_path() == Path("/kits/house.db")


def test_a_library_that_nobody_names_lies_in_the_users_data_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.delenv("RIGLOG_DB", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert library_path().name == "riglog.db"
    assert library_path().is_absolute()


def test_a_tilde_stands_for_the_home_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", "/home/kim")
    assert library_path("~/kit.db") == Path("/home/kim/kit.db")


@pytest.mark.parametrize("name", ["", "  ", "a\0b"])
def test_a_name_that_names_no_file_is_refused(name: str) -> None:
    with pytest.raises(CallError, match="--db names no file"):
        library_path(name)


def test_the_author_of_the_call_counts_before_the_environment_and_the_login(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(getpass, "getuser", lambda: "login")
    monkeypatch.delenv("RIGLOG_AUTHOR", raising=False)
    assert author_name() == "login"
    monkeypatch.setenv("RIGLOG_AUTHOR", "kim")
    assert author_name() == "kim"
    assert author_name(" lee  north ") == "lee north"


def test_a_name_is_kept_in_composed_form() -> None:
    assert author_name("Zoe\u0308") == "Zo\u00eb"


@pytest.mark.parametrize("name", ["", " ", "a\x1b[31m", "\u202ekim", "k" * 101])
def test_a_name_that_cannot_be_printed_is_refused(name: str) -> None:
    with pytest.raises(CallError, match="the author has no name that can be printed"):
        author_name(name)


def test_a_machine_without_users_asks_for_a_name_only_to_record(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def nobody() -> str:
        raise KeyError("getpwuid(): uid not found: 1234")

    monkeypatch.setattr(getpass, "getuser", nobody)
    monkeypatch.delenv("RIGLOG_AUTHOR", raising=False)
    assert author_name(needed=False) == ""
    with pytest.raises(CallError, match="--author kim"):
        author_name()
