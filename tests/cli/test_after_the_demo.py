"""What an operator asks of the library that the demonstration leaves."""

from __future__ import annotations

import json
import shutil
from typing import TYPE_CHECKING, Any

import pytest

from riglog.jobs.demo import demo

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]


@pytest.fixture(scope="module")
def salt_road(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The library that the demonstration leaves."""
    folder = tmp_path_factory.mktemp("demo") / "kept"
    return folder / demo(folder).library


@pytest.fixture
def asked(salt_road: Path, db: Path, riglog: Riglog) -> Riglog:
    """A command on a copy of it."""
    shutil.copy(salt_road, db)
    return riglog


def told(done: Done) -> dict[str, Any]:
    assert (done.status, done.err) == (0, ""), done
    found: dict[str, Any] = json.loads(done.out)
    return found


def holds(known: dict[str, float | None]) -> bool:
    """Whether a figure lies within its bounds."""
    value, low, high = known["value"], known["low"], known["high"]
    assert value is not None
    assert low is not None
    return low <= value and (high is None or value <= high)


def test_a_hold_band_of_a_ring_that_may_be_top_heavy_is_answered(asked: Riglog) -> None:
    asked("drop", "ring-cam", "1.9", "2.0", "--mark", "221mm,224mm", "--want", "1.5")
    words = ("--stays", "4deg", "--falls", "6deg", "--on", "2026-03-15T09:08")
    found = told(asked("hold", "ring-cam", *words, "--json"))
    assert holds(found["friction"]["hold_deg"])
    swings = ("--swings", "3", "--from", "30deg", "--to", "20deg", "--time", "9s")
    found = told(asked("swing", "ring-cam", *swings, "--on", "2026-03-15T09:10", "--json"))
    assert holds(found["friction"]["hold_deg"])


def test_a_hold_band_lies_within_its_bounds_where_a_head_is_near_neutral(asked: Riglog) -> None:
    words = ("--stays", "2deg", "--falls", "4deg", "--on", "2026-03-15T09:00")
    assert holds(told(asked("hold", "ring-head", *words, "--json"))["friction"]["hold_deg"])
