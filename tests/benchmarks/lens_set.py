"""A hundred lenses and five drop times on one page against one swap, by process time.

python tests/benchmarks/lens_set.py
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from house import build_house

from riglog.library import Library
from riglog.records import Component

if TYPE_CHECKING:
    from collections.abc import Callable

PROGRAM = str(Path(sys.executable).with_name("riglog"))
LENSES, DROPS, ROUNDS = 100, ("2s", "2.5s", "3s", "4s", "5s"), 11
SEED = 20_260_314


def _library(path: Path, readings: int) -> None:
    """The house's kit and drops, and lenses until there are a hundred."""
    build_house(path, readings=readings)
    rng = np.random.default_rng(SEED)
    with Library.open(path, "bench", write=True) as library:
        there = [name for name in library.logbook.subjects("component") if name.startswith("lens-")]
        library.record(
            *(
                Component(
                    id=f"lens-{number}",
                    kind="lens",
                    mass=float(rng.uniform(0.6, 3)),
                    size=(0.15, 0.10, 0.10),
                )
                for number in range(len(there) + 1, LENSES + 1)
            )
        )


def _spent_s(command: list[str], path: Path) -> float:
    """Process time [s], user and system, of one run."""
    env = {**os.environ, "RIGLOG_DB": str(path), "RIGLOG_AUTHOR": "bench"}
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, env=env, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def _told(command: list[str], path: Path) -> dict[str, object]:
    env = {**os.environ, "RIGLOG_DB": str(path), "RIGLOG_AUTHOR": "bench"}
    done = subprocess.run([*command, "--json"], env=env, check=True, capture_output=True)
    found: dict[str, object] = json.loads(done.stdout)
    return found


def main(say: Callable[[str], None] = print) -> None:
    """Print the ratios, and how the intervals compare."""
    swap = [PROGRAM, "swap", "a-cam", "lens-1=lens-2", "--drop", "3s"]
    table = [PROGRAM, "lens-table", "a-cam", "--swap", "lens-1", "--with", "lens-*"]
    table += [word for drop in DROPS for word in ("--drop", drop)]
    with tempfile.TemporaryDirectory() as folder:
        for readings in (30, 1000):
            path = Path(folder) / f"{readings}.db"
            _library(path, readings)
            spent = [(_spent_s(swap, path), _spent_s(table, path)) for _ in range(ROUNDS)]
            one, many = (min(each) for each in zip(*spent, strict=True))
            say(
                f"{readings} drops logged: swap {1e3 * one:.0f} ms, {LENSES} lenses and"
                f" {len(DROPS)} drop times {1e3 * many:.0f} ms, {many / one:.2f} times (at most 2)"
            )
            say(f"  intervals of the table over the swap's: {_wider(table, path)}")


def _wider(table: list[str], path: Path) -> str:
    """Widths of pivot intervals at 3 s for some lenses, and how far the marks are apart."""
    rows = {row["lens"]: row for row in _told(table, path)["lenses"]}  # type: ignore[attr-defined]
    ratios, apart = [], []
    for number in range(2, 42, 6):
        lens = f"lens-{number}"
        swap = [PROGRAM, "swap", "a-cam", f"lens-1={lens}", "--drop", "3s"]
        pivot = _told(swap, path)["settings"][0]  # type: ignore[index]
        mark = rows[lens]["marks"][DROPS.index("3s")]
        sure = pivot["high_mm"] - pivot["low_mm"]
        ratios.append((mark["high_mm"] - mark["low_mm"]) / sure)
        apart.append(abs(mark["to_mm"] - pivot["to_mm"]) / (sure / 3.92))
    return (
        f"{np.median(ratios):.3f} (median), {max(ratios):.3f} at most; marks"
        f" {max(apart):.2f} standard deviations apart at most"
    )


if __name__ == "__main__":
    main()
