"""Faults in full number: 200 kills, 500 power cuts, each with the controls that must fail.

    python tests/benchmarks/faults.py

They are the tests of the suite, which runs fewer of them.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).parents[2]
RUNS = (
    ("kills in add, drop and merge", "tests/cli/test_killed.py", {"RIGLOG_KILLS": "200"}),
    ("kills in appends and migration", "tests/logbook/test_durability.py", {"RIGLOG_KILLS": "100"}),
    ("power cuts, and controls", "tests/logbook/test_power_cut.py", {"RIGLOG_SEEDS": "500"}),
    ("write errors at each step", "tests/logbook/test_write_errors.py", {}),
    ("flipped bits", "tests/logbook/test_audit.py", {}),
)


def main(say: Callable[[str], None] = print) -> None:
    """Run them, and print how each ended."""
    for what, tests, settings in RUNS:
        asked = " ".join(f"{name}={value}" for name, value in settings.items())
        say(f"{what}: {_run(tests, settings)} {f'({asked})' if asked else ''}".rstrip())


def _run(tests: str, settings: dict[str, str]) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-n", "2", tests],
        cwd=ROOT,
        env={**os.environ, **settings},
        capture_output=True,
        text=True,
        check=False,
    )
    ends = re.findall(r"\d+ (?:passed|failed|error)[^\n]* in [0-9.]+s", done.stdout)
    return ends[-1] if ends else done.stdout[-200:]


if __name__ == "__main__":
    main()
