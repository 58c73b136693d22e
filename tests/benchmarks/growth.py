"""What an answer costs in a library of years, against the same answer in a young one.

    python tests/benchmarks/growth.py --entries 1000000 --folder /somewhere

Whole processes, each command in turn on both libraries, and the best times compared: what else the
machine does can only make a run slower. A library that is in the folder already is used again.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from house import AUTHOR
from million import MILLION, build_million

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

YOUNG = 1_000
ROUNDS = 9
MOST_RATIO, MOST_MORE_MS, MOST_MIB = 1.5, 150, 200
# The wanted ratio is that of the first; words are looked for in everything, and may take longer.
COMMANDS: dict[str, list[str]] = {
    "show": ["show", "a-cam"],
    "history -n 50": ["history", "a-cam", "-n", "50"],
    "find --with": ["find", "--with", "lens-2"],
    "find --with --on": ["find", "--with", "lens-2", "--on", "2026-03"],
    "drop": ["drop", "a-cam", "3.1", "3.0", "--mark", "487mm"],
}
WORDS: dict[str, list[str]] = {
    "find, a rare word": ["find", "strap"],
    "find, a word of every entry": ["find", "post"],
    "find, two words": ["find", "windy", "roof"],
    "find, the beginning of a word": ["find", "wi"],
}


class Run(NamedTuple):
    """One process: wall-clock time [s] and peak memory [MiB]."""

    time_s: float
    memory_mib: float


def run(library: Path, words: Sequence[str]) -> Run:
    """Run a command, which has to find an answer."""
    env = {**os.environ, "RIGLOG_DB": str(library), "RIGLOG_AUTHOR": AUTHOR}
    # The program writes its byte code once, as any installed program does.
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    start = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-m", "riglog", *words], env=env, stdout=subprocess.DEVNULL
    )
    _, status, usage = os.wait4(process.pid, 0)
    took = time.perf_counter() - start
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise RuntimeError(f"{' '.join(words)} ended with status {process.returncode}")
    return Run(took, usage.ru_maxrss / 1024)


def best(libraries: Sequence[Path], words: Sequence[str], rounds: int) -> list[Run]:
    """The best time and the greatest peak of a command on each library, run in turn."""
    runs = [[run(library, words) for library in libraries] for _ in range(rounds)]
    return [
        Run(min(each.time_s for each in column), max(each.memory_mib for each in column))
        for column in zip(*runs, strict=True)
    ]


def library(folder: Path, entries: int) -> Path:
    """A library of so many entries with ``a-cam`` in use, made unless it is there."""
    path = folder / f"{entries}.db"
    if not path.exists():
        build_million(path, entries)
    run(path, ["use", "a-cam"])
    return path


def measure(folder: Path, entries: int, rounds: int, say: Callable[[str], None] = print) -> None:
    """Print each command's figures."""
    both = [library(folder, YOUNG), library(folder, entries)]
    say(f"{entries:,} entries against {YOUNG:,}, whole processes, best of {rounds}")
    peak = 0.0
    for name, words in {**COMMANDS, **WORDS}.items():
        young, old = best(both, words, rounds)
        peak = max(peak, old.memory_mib)
        more_ms = 1e3 * (old.time_s - young.time_s)
        wanted = f"{more_ms:+.0f} ms (at most {MOST_MORE_MS} more)"
        if name in COMMANDS:
            wanted = f"{old.time_s / young.time_s:.2f} times (at most {MOST_RATIO})"
        say(f"{name:<30} {1e3 * young.time_s:4.0f} ms, {1e3 * old.time_s:4.0f} ms: {wanted}")
    say(f"peak memory: {peak:.0f} MiB (at most {MOST_MIB})")


def main(words: Sequence[str] = (), say: Callable[[str], None] = print) -> None:
    """Measure as the words ask; without a folder the libraries are gone afterwards."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, default=MILLION)
    parser.add_argument("--rounds", type=int, default=ROUNDS)
    parser.add_argument("--folder", type=Path)
    asked = parser.parse_args(words)
    if asked.folder:
        measure(asked.folder, asked.entries, asked.rounds, say)
        return
    with tempfile.TemporaryDirectory() as folder:
        measure(Path(folder), asked.entries, asked.rounds, say)


if __name__ == "__main__":
    main(sys.argv[1:])
