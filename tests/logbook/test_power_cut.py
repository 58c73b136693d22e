"""Nothing that was acknowledged is lost when the power goes, and nothing is half there."""

from __future__ import annotations

import os
import random
import sqlite3
from contextlib import ExitStack
from functools import partial
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from logbook.carried import vetting
from logbook.kit import component, fill, reading, record
from logbook.power_cut import Connection, Disk

from riglog.errors import BusyError, LibraryError
from riglog.logbook import Logbook
from riglog.logbook.auditing.audit import audit
from riglog.logbook.transfer.staging import staged

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from riglog.logbook.transfer.staging import Staged

    Work = Callable[[Logbook], Iterator[list[str]]]

SEEDS = int(os.environ.get("RIGLOG_SEEDS", "60"))  # make bench asks for 500
SIZES = {2 + 4 * n for n in range(12)}  # of what one bundle holds
NAME = "/kit.db"
EXTRA = "PRAGMA synchronous=EXTRA"


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("whole") / "kit.db"
    fill(path)
    return path.read_bytes()


def appended(log: Logbook) -> Iterator[list[str]]:
    """Append, one commit after another."""
    for n in count():
        with log.writing() as transaction:
            (head,) = transaction.heads("component", "lens-35")
            version = transaction.version("build", "a-cam", "1").entry
            made = [
                component("lens-35", head.id, note="x" * 100 * (n % 40)),
                *(reading(version, times=(3.0, n, m)) for m in range(n % 7)),
            ]
            ids = [entry.id for entry in transaction.append(made)]
        yield ids


@pytest.fixture(scope="module")
def bundles(tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[tuple[Staged, list[str]]]]:
    """What several people hand over, checked and ready to be merged, with the ids of each."""
    folder = tmp_path_factory.mktemp("bundles")
    with ExitStack() as opened:
        found = []
        for n in range(12):
            path = folder / f"{n}.db"
            with Logbook.create(path) as log:
                first = component(f"lens-{n}", note=f"{n}")
                after = component(f"lens-{n}", first.envelope.id, note="x" * 600 * n)
                more = (component(f"cable-{n}-{m}") for m in range(4 * n))
                made = record(log, first, after, *more)
            stage = opened.enter_context(staged([path], None, vetting))
            found.append((stage, [entry.id for entry in made]))
        yield found


def merged(log: Logbook, bundles: list[tuple[Staged, list[str]]]) -> Iterator[list[str]]:
    """Merge, one bundle after another."""
    for stage, ids in bundles:
        log.merge(stage)
        yield ids


def acknowledged(
    disk: Disk, patch: pytest.MonkeyPatch, instead: dict[str, str], work: Work
) -> Iterator[list[str]]:
    """Work until the power goes; the ids of each commit that was acknowledged."""
    with patch.context() as patched:
        patched.setattr(sqlite3, "connect", lambda *_, **__: Connection(disk, NAME, instead))
        log = Logbook.open(Path(NAME), write=True)
        try:
            yield from work(log)
        except (LibraryError, BusyError):
            return
        finally:
            log.close()


def outcome(
    library: bytes,
    seed: int,
    folder: Path,
    patch: pytest.MonkeyPatch,
    instead: dict[str, str],
    work: Work = appended,
) -> str:
    """What a cut at a random moment does: "" if all is well."""
    rng = random.Random(seed)
    disk = Disk(f"disk-{seed}-{len(instead)}", {NAME: library}, cut_at=rng.randrange(1, 400))
    patch.setattr("riglog.logbook.opening.check_present", lambda _: None)
    patch.setattr("riglog.logbook.opening._bytes_missing", lambda _: 0)
    commits = list(acknowledged(disk, patch, instead, work))
    ids = [each for commit in commits for each in commit]
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
    more = there[13 + len(ids) :]
    if work is not appended and len(more) not in {0, *SIZES}:
        return f"half a merge: {len(more)} entries"
    return "" if there[13 : 13 + len(ids)] == ids else "out of order"


@pytest.mark.parametrize("seed", range(SEEDS))
def test_a_power_cut_loses_nothing_that_was_acknowledged(
    library: bytes, seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert outcome(library, seed, tmp_path, monkeypatch, {}) == ""


@pytest.mark.parametrize("seed", range(SEEDS // 3))
def test_a_power_cut_leaves_all_of_a_merge_or_nothing(
    library: bytes,
    bundles: list[tuple[Staged, list[str]]],
    seed: int,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    work = partial(merged, bundles=bundles)
    assert outcome(library, seed, tmp_path, monkeypatch, {}, work) == ""


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


def test_without_sync_a_power_cut_would_tear_merges(
    library: bytes,
    bundles: list[tuple[Staged, list[str]]],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The control for merges."""
    instead, work = {EXTRA: "PRAGMA synchronous=OFF"}, partial(merged, bundles=bundles)
    bad = []
    for seed in range(SEEDS // 3):
        folder = tmp_path / str(seed)
        folder.mkdir()
        bad.append(outcome(library, seed, folder, monkeypatch, instead, work))
    assert sum(map(bool, bad)) >= SEEDS // 12, bad
