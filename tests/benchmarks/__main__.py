"""Every figure that is promised, in one table: ``python tests/benchmarks``.

With ``--write`` the table also goes to ``RESULTS.md``, with the machine and the day.
"""

from __future__ import annotations

import argparse
import os
import platform
import sqlite3
import time
from importlib.metadata import version
from pathlib import Path

import accuracy
import checking
import drop_times
import exactness
import faults
import friction_and_heads
import growth
import kinds
import lens_set
import locality
import log_figures
import small_changes
import speed
import spreadsheets
import traces
import trimming

RESULTS = Path(__file__).parent / "RESULTS.md"


def main() -> None:
    """Run them one after another, the timed ones first, while nothing else runs."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rigs", type=int, default=2000)
    parser.add_argument("--write", action="store_true", help=f"keep the table in {RESULTS.name}")
    asked = parser.parse_args()
    lines: list[str] = []

    def say(line: str) -> None:
        print(line, flush=True)
        lines.append(line)

    for title, run in (
        ("Speed", lambda: speed.main(say)),
        ("Growth", lambda: growth.main([], say)),
        ("Audit and merge", lambda: log_figures.main(say)),
        ("A lens set", lambda: lens_set.main(say)),
        ("Drop times", lambda: drop_times.main(say)),
        ("Faults", lambda: faults.main(say)),
        ("Locality", lambda: locality.main(say)),
        ("Exactness", lambda: exactness.main(say)),
        ("Spreadsheets", lambda: spreadsheets.main([], say)),
        ("Motion-sensor traces", lambda: traces.main([], say)),
        ("Trim", lambda: trimming.main(say)),
        ("Accuracy", lambda: accuracy.main(["--rigs", str(asked.rigs)], say)),
        (
            "Friction and powered heads",
            lambda: friction_and_heads.main(["--rigs", str(asked.rigs)], say),
        ),
        ("Rings and low mode", lambda: kinds.main(["--rigs", str(asked.rigs)], say)),
        (
            "Small changes and handling",
            lambda: small_changes.main(["--rigs", str(asked.rigs // 4)], say),
        ),
        ("Checking", lambda: checking.main(["--rigs", str(asked.rigs // 4)], say)),
    ):
        say(f"\n## {title}\n")
        run()
    if asked.write:
        RESULTS.write_text(_page(lines), encoding="utf-8")


def _page(lines: list[str]) -> str:
    body = "\n".join(line if line.startswith("#") or not line else f"    {line}" for line in lines)
    machine = (
        f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, "
        f"SQLite {sqlite3.sqlite_version}, numpy {version('numpy')}"
    )
    return f"# Results of `make bench`\n\n{time.strftime('%Y-%m-%d')}: {machine}\n{body}\n"


if __name__ == "__main__":
    main()
