"""The console blocks of the README are run in order, in one folder, and their outputs compared.

A line of three points stands for any number of lines. The ids of entries hold the moment of
recording and are compared by their shape alone.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

README = Path(__file__).parents[1] / "README.md"
ENTRY = re.compile(r"\b[0-9a-f]{8}\b")


def commands() -> list[tuple[str, list[str]]]:
    """Each command of the tour, with the lines that it is said to print."""
    found: list[tuple[str, list[str]]] = []
    for block in re.findall(r"```console\n(.*?)```", README.read_text("utf-8"), re.DOTALL):
        for line in block.splitlines():
            if line.startswith("$ "):
                found.append((line[2:], []))
            elif line.startswith("> "):
                command, _ = found[-1]
                found[-1] = (f"{command}\n{line[2:]}", [])
            else:
                found[-1][1].append(line)
    return found


def is_told(told: list[str], printed: list[str]) -> bool:
    """Whether what the README tells is what was printed, three points taking any lines."""
    if not told:
        return not printed
    if told[0] == "...":
        return any(is_told(told[1:], printed[skip:]) for skip in range(len(printed) + 1))
    return bool(printed) and told[0] == printed[0] and is_told(told[1:], printed[1:])


def run(command: str, folder: Path) -> list[str]:
    """Lines that a command prints, on both streams, its exit status whatever it is."""
    env = {
        **os.environ,
        "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}",
        "TZ": "UTC",
        "COLUMNS": "80",
    }
    for name in ("RIGLOG_DB", "RIGLOG_AUTHOR"):
        env.pop(name, None)
    done = subprocess.run(
        ["bash", "-c", command], cwd=folder, env=env, text=True, check=False,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )  # fmt: skip
    return ENTRY.sub("xxxxxxxx", done.stdout).splitlines()


def test_the_tour_of_the_readme_prints_what_it_says(tmp_path: Path) -> None:
    steps = commands()
    assert len(steps) >= 10
    said_first = ""
    for command, told in steps:
        printed = run(f"{said_first}{command}", tmp_path)
        if command.startswith("export "):
            said_first += f"{command}\n"
        wanted = [ENTRY.sub("xxxxxxxx", line) for line in told]
        assert is_told(wanted, printed), f"{command}\n" + "\n".join(printed)


@pytest.mark.parametrize(
    ("told", "printed", "fits"),
    [
        (["a", "b"], ["a", "b"], True),
        (["a", "..."], ["a", "b", "c"], True),
        (["a", "...", "c"], ["a", "c"], True),
        (["a"], ["a", "b"], False),
        (["a", "...", "d"], ["a", "b", "c"], False),
        ([], ["a"], False),
    ],
)
def test_three_points_take_any_lines(told: list[str], printed: list[str], fits: bool) -> None:
    assert is_told(told, printed) is fits
