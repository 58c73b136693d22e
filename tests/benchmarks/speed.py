"""How fast a swap is answered, as a whole process, against a stated baseline.

    python tests/benchmarks/speed.py

Each command is run many times in turn with its baseline, and the best times are compared: what
else the machine does can only make a run slower.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from house import build_house, fill_up

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

BASELINE = [sys.executable, "-c", "import numpy, pydantic, typer, sqlite3"]
PROGRAM = str(Path(sys.executable).with_name("riglog"))
SWAP = [PROGRAM, "swap", "a-cam", "lens-1=lens-2", "--drop", "3s"]
ROUNDS = 15
ENTRIES, SHARED = 100_000, 2_000


def best_s(commands: Sequence[tuple[list[str], Path | None]], rounds: int = ROUNDS) -> list[float]:
    """Best wall-clock time [s] of each command, all run in turn."""
    best = [np.inf] * len(commands)
    for _ in range(rounds):
        for index, (command, library) in enumerate(commands):
            # The program writes its byte code once, as any installed program does.
            env = {**os.environ, "RIGLOG_DB": str(library or ""), "RIGLOG_AUTHOR": "bench"}
            env.pop("PYTHONDONTWRITEBYTECODE", None)
            start = time.perf_counter()
            subprocess.run(command, env=env, check=True, capture_output=True)
            best[index] = min(best[index], time.perf_counter() - start)
    return [float(each) for each in best]


def main(say: Callable[[str], None] = print) -> None:
    """Print the ratios."""
    with tempfile.TemporaryDirectory() as folder:
        small, large = Path(folder) / "small.db", Path(folder) / "large.db"
        build_house(small, readings=30)
        build_house(large, readings=SHARED)
        fill_up(large, ENTRIES)
        base, on_small, on_large = best_s([(BASELINE, None), (SWAP, small), (SWAP, large)])
        answers = [_answer(path) for path in (small, large)]
    say(f"baseline: {' '.join(BASELINE[1:])}: {1e3 * base:.0f} ms")
    say(f"swap: {1e3 * on_small:.0f} ms, {on_small / base:.2f} times the baseline (at most 1.3)")
    say(
        f"swap among {ENTRIES:,} entries, {SHARED:,} readings of shared parts: "
        f"{1e3 * on_large:.0f} ms, {on_large / on_small:.2f} times the small library (at most 1.3)"
    )
    say(f"readings used: {answers[0]} of 30, {answers[1]} of {SHARED}")


def _answer(library: Path) -> int:
    env = {**os.environ, "RIGLOG_DB": str(library)}
    done = subprocess.run([*SWAP, "--json"], env=env, check=True, capture_output=True)
    readings: int = json.loads(done.stdout)["evidence"]["readings"]
    return readings


if __name__ == "__main__":
    main()
