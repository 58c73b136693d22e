"""What a library of years costs to check and to merge, against the same bytes and rows alone.

    python tests/benchmarks/log_figures.py [ENTRIES]

The audit is timed as a whole process. Its hash part is the pass that computes every id anew; it is
held against hashing the same bytes alone. A merge of a tenth of the entries, from one library file
into an empty one and with everything checked first, is held against a bare ``INSERT ... SELECT`` of
the same rows, once of all tables and once of the entries alone.
"""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
import tempfile
import time
from contextlib import closing, suppress
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from million import MILLION, build_million

from riglog.jobs.merge import merge
from riglog.logbook import derive
from riglog.logbook.auditing.proof import ENTRIES
from riglog.logbook.creation import empty_library

if TYPE_CHECKING:
    from collections.abc import Callable

ROUNDS = 3
TABLES = ("edges", "uses", "versions", "days", "about")
_COLUMNS = "id, kind, subject, at, author, parents, body"


def main(say: Callable[[str], None] = print, entries: int = MILLION) -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        large, small = folder / "large.db", folder / "small.db"
        build_million(large, entries)
        build_million(small, entries // 10)
        _audit(say, large, entries)
        _merge(say, small, folder, entries // 10)


def _audit(say: Callable[[str], None], library: Path, entries: int) -> None:
    found = [_process("audit", library) for _ in range(ROUNDS)]
    say(f"audit of {entries:,} entries: {min(s for s, _ in found):.1f} s (at most 10 s)")
    say(f"its peak memory: {max(m for _, m in found):.0f} MiB (at most 200 MiB)")
    alone, scan = _hashing(library)
    say(f"its hash part: {scan:.2f} s, {scan / alone:.1f} times the bytes alone (at most 6)")


def _process(command: str, library: Path) -> tuple[float, float]:
    """Wall-clock time [s] of a command, and peak memory [MiB] of it and all that it starts."""
    env = {**os.environ, "RIGLOG_DB": str(library), "RIGLOG_AUTHOR": "bench"}
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    start, peak = time.perf_counter(), 0.0
    process = subprocess.Popen(
        [sys.executable, "-m", "riglog", command], env=env, stdout=subprocess.DEVNULL
    )
    while process.poll() is None:
        started = Path(f"/proc/{process.pid}/task/{process.pid}/children")
        with suppress(OSError):  # it may end meanwhile
            pids = [str(process.pid), *started.read_text().split()]
            peak = max(peak, sum(map(_resident, pids)))
        time.sleep(0.02)
    assert process.returncode == 0
    return time.perf_counter() - start, peak


def _resident(pid: str) -> float:
    """Memory that a process has now [MiB]."""
    pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


def _hashing(library: Path) -> tuple[float, float]:
    """Best times [s] to hash the bytes of all entries alone, and as an audit does."""
    alone = scan = float("inf")
    with closing(sqlite3.connect(library)) as connection:
        for _ in range(ROUNDS):
            start, hashing = time.perf_counter(), 0.0
            for _, entry_id, _, envelope, *_ in connection.execute(ENTRIES):
                assert sha256(envelope.encode()).hexdigest() == entry_id
            scan = min(scan, time.perf_counter() - start)
            for block in _blocks(connection):
                start = time.perf_counter()
                for each in block:
                    sha256(each).hexdigest()
                hashing += time.perf_counter() - start
            alone = min(alone, hashing)
    return alone, scan


def _blocks(connection: sqlite3.Connection) -> list[list[bytes]]:
    rows = connection.execute(ENTRIES)
    blocks = []
    while found := rows.fetchmany(10_000):
        blocks.append([row[3].encode() for row in found])
    return blocks


def _merge(say: Callable[[str], None], library: Path, folder: Path, entries: int) -> None:
    timed = min(_merged(library, folder / f"merged-{n}.db") for n in range(ROUNDS))
    for what, tables in (("all its rows", TABLES), ("its entries alone", ())):
        bare = min(_bare(library, folder / f"bare-{what}-{n}.db", tables) for n in range(ROUNDS))
        say(
            f"merge of {entries:,} entries: {timed:.2f} s, {timed / bare:.1f} times a bare"
            f" INSERT ... SELECT of {what} (at most 4)"
        )


def _merged(library: Path, target: Path) -> float:
    target.write_bytes(empty_library())
    start = time.perf_counter()
    merge(target, [library])
    return time.perf_counter() - start


def _bare(library: Path, target: Path, tables: tuple[str, ...]) -> float:
    """The rows of the entries, and of what follows from them, the words too."""
    target.write_bytes(empty_library())
    with closing(sqlite3.connect(target, isolation_level=None)) as connection:
        connection.execute("PRAGMA synchronous=EXTRA")
        connection.execute("ATTACH ? AS source", (str(library),))
        if tables:
            connection.create_function("entry_text", 3, _text)
            connection.execute(
                "CREATE TEMP TABLE texts AS"
                " SELECT seq, entry_text(subject, author, body) AS text FROM source.entries"
            )
        start = time.perf_counter()
        connection.execute("BEGIN IMMEDIATE")
        connection.execute(
            f"INSERT INTO main.entries ({_COLUMNS}) SELECT {_COLUMNS} FROM source.entries"
        )
        for table in tables:
            connection.execute(f"INSERT INTO main.{table} SELECT * FROM source.{table}")
        if tables:
            connection.execute("INSERT INTO main.words (rowid, text) SELECT seq, text FROM texts")
        connection.execute("COMMIT")
        return time.perf_counter() - start


def _text(subject: str, author: str, body: str) -> str:
    return derive.text(subject, author, json.loads(body))


if __name__ == "__main__":
    main(entries=int(sys.argv[1]) if len(sys.argv) > 1 else MILLION)
