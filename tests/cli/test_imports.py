"""A command imports what it needs: start-up time is a promise."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

import pytest
from library.kit import KIT, written

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

HEAVY = ("numpy", "pydantic", "yaml", "tabulate", "rich", "sqlite_utils", "rfc8785", "wcwidth")
KINDS = tuple(f"riglog.records.readings.{kind}" for kind in ("drop", "weight", "lean", "swing"))
CALL = """\
import sys
from riglog.cli import main
status = main(sys.argv[1:])
assert status == 0, status
print(*sorted(set({heavy!r}) & set(sys.modules)), file=sys.stderr)
"""


def imported(*words: str, among: tuple[str, ...] = HEAVY) -> set[str]:
    call = CALL.format(heavy=among)
    done = subprocess.run(
        [sys.executable, "-c", call, *words], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return set(done.stderr.split())


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["list", "builds"], set()),
        (["list", "components", "--json"], set()),
        (["history", "a-cam"], set()),
        (["audit"], set()),
        (["find", "lens-35"], {"numpy"}),
        (["find", "--build", "a-cam"], {"numpy"}),
        (["init"], set()),
        (["show", "a-cam"], {"yaml"}),
        (["predict", "a-cam"], {"numpy"}),
        (["swap", "a-cam", "lens-35=lens-75"], {"numpy"}),
        (["lens-table", "a-cam", "--swap", "lens-35", "--with", "lens-75"], {"numpy"}),
        (["neutral", "487mm=3.0", "495mm=1.8"], {"numpy"}),
        (["drop", "a-cam", "3.1"], {"numpy", "rfc8785"}),
    ],
)
def test_a_command_imports_no_more_than_it_needs(
    kit: str, words: list[str], expected: set[str]
) -> None:
    assert kit
    assert imported(*words) == expected


def test_a_search_with_nothing_to_compare_with_does_without_numpy(
    kit: str, riglog: Callable[..., Done], tmp_path: Path
) -> None:
    assert kit
    other = KIT[KIT.index("builds:") :].replace("a-cam", "b-cam")
    assert riglog("add", *written(tmp_path, other)).status == 0
    assert imported("find", "lens-35") == set()


def test_a_swap_knows_only_the_kinds_of_readings_that_it_meets(kit: str) -> None:
    assert kit
    imported("drop", "a-cam", "3.1")
    assert imported("swap", "a-cam", "lens-35=lens-75", among=KINDS) == {KINDS[0]}
