"""Nothing that was acknowledged is lost when the power goes, and nothing is half there."""

from __future__ import annotations

import random
import sqlite3
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from logbook.kit import component, fill, reading
from logbook.power_cut import Connection, Disk

from riglog.errors import BusyError, LibraryError
from riglog.logbook import Logbook
from riglog.logbook.audit import audit

if TYPE_CHECKING:
    from collections.abc import Iterator

SEEDS = 60
NAME = "/kit.db"
EXTRA = "PRAGMA synchronous=EXTRA"


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("whole") / "kit.db"
    fill(path)
    return path.read_bytes()


def acknowledged(disk: Disk, patch: pytest.MonkeyPatch, instead: dict[str, str]) -> Iterator[str]:
    """Append, one commit after another, until the power goes; the ids that were acknowledged."""
    with patch.context() as patched:
        patched.setattr(sqlite3, "connect", lambda *_, **__: Connection(disk, NAME, instead))
        log = Logbook.open(Path(NAME), write=True)
        try:
            for n in count():
                with log.writing() as transaction:
                    (head,) = transaction.heads("component", "lens-35")
                    version = transaction.version("build", "a-cam", "1").entry
                    made = [
                        component("lens-35", head.id, note="x" * 100 * (n % 40)),
                        *(reading(version, times=(3.0, n, m)) for m in range(n % 7)),
                    ]
                    ids = [entry.id for entry in transaction.append(made)]
                yield from ids
        except (LibraryError, BusyError):
            return
        finally:
            log.close()


def outcome(
    library: bytes, seed: int, folder: Path, patch: pytest.MonkeyPatch, instead: dict[str, str]
) -> str:
    """What a cut at a random moment does: "" if all is well."""
    rng = random.Random(seed)
    disk = Disk(f"disk-{seed}-{len(instead)}", {NAME: library}, cut_at=rng.randrange(1, 400))
    patch.setattr("riglog.logbook.opening.check_present", lambda _: None)
    patch.setattr("riglog.logbook.opening._bytes_missing", lambda _: 0)
    ids = list(acknowledged(disk, patch, instead))
    patch.undo()
    disk.unregister()
    for name, content in disk.survivors(rng).items():
        (folder / name.strip("/")).write_bytes(content)
    path = folder / "kit.db"
    try:
        with Logbook.open(path) as log:
            there = [entry.id for entry in log.log()]
    except LibraryError as error:
        return f"damaged: {error}"
    if lost := set(ids) - set(there):
        return f"lost {len(lost)} of {len(ids)}"
    if damage := audit(path).damage:
        return f"damaged: {damage[0]}"
    return "" if there[13 : 13 + len(ids)] == ids else "out of order"


@pytest.mark.parametrize("seed", range(SEEDS))
def test_a_power_cut_loses_nothing_that_was_acknowledged(
    library: bytes, seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert outcome(library, seed, tmp_path, monkeypatch, {}) == ""


@pytest.mark.parametrize("setting", ["OFF", "FULL"])
def test_with_less_care_a_power_cut_would_lose_something(
    library: bytes, setting: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The control: if it passed, the test above would show nothing."""
    instead = {EXTRA: f"PRAGMA synchronous={setting}"}
    bad = []
    for seed in range(SEEDS):
        folder = tmp_path / str(seed)
        folder.mkdir()
        bad.append(outcome(library, seed, folder, monkeypatch, instead))
    assert sum(map(bool, bad)) >= (SEEDS // 2 if setting == "OFF" else 3), bad
