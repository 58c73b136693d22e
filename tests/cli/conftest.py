from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import pytest
from library.kit import WHOLE, written

from riglog.cli import main

if TYPE_CHECKING:
    from collections.abc import Callable


class Done(NamedTuple):
    """How a command ended, and what it said."""

    status: int
    out: str
    err: str


@pytest.fixture
def db(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the library of the environment may be made."""
    monkeypatch.setenv("RIGLOG_DB", str(tmp_path / "kit.db"))
    monkeypatch.setenv("RIGLOG_AUTHOR", "kim")
    return tmp_path / "kit.db"


@pytest.fixture
def riglog(db: Path, capfd: pytest.CaptureFixture[str]) -> Callable[..., Done]:
    """A command in this process, for speed."""
    assert db.name

    def run(*words: str) -> Done:
        capfd.readouterr()
        return Done(main(words), *capfd.readouterr())

    return run


@pytest.fixture
def program(db: Path) -> Callable[..., Done]:
    """A command as a process of its own."""
    assert db.name

    def run(*words: str, **settings: str) -> Done:
        done = subprocess.run(
            [Path(sys.executable).with_name("riglog"), *words],
            capture_output=True,
            text=True,
            env={**os.environ, **settings},
            check=False,
        )
        return Done(done.returncode, done.stdout, done.stderr)

    return run


@pytest.fixture
def kit(riglog: Callable[..., Done], tmp_path: Path) -> str:
    """The name of a kit document that the library holds."""
    (file,) = written(tmp_path, WHOLE)
    assert riglog("init").status == 0
    assert riglog("add", file).status == 0
    return file
