"""That `check` answers from a library, and what it exits with."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from cli.conftest import Done

    Riglog = Callable[..., Done]


def test_a_slip_is_named_in_the_first_line(riglog: Riglog, kit: str) -> None:
    assert kit
    for time, mark in (("2.6", "490"), ("2.7", "489.5"), ("2.4", "491")):
        assert riglog("drop", "a-cam", time, "--mark", mark).status == 0
    assert riglog("check", "a-cam").out.startswith("a-cam is quiet: all its 5 readings are as")
    slip = json.loads(riglog("drop", "a-cam", "2.6", "--mark", "409", "--json").out)["recorded"]
    done = riglog("check", "a-cam")
    assert (done.status, done.err) == (0, "")
    assert done.out.startswith(f"Reading {slip[:8]} looks like a slip: 2.6 s at 409.0 mm, where ")
    assert json.loads(riglog("check", "a-cam", "--json").out)["outstanding"] == [slip]


def test_without_a_build_the_one_in_use_is_checked(riglog: Riglog, kit: str) -> None:
    assert kit
    assert riglog("check").status == 2
    riglog("use", "a-cam")
    assert json.loads(riglog("check", "--json").out)["build"] == "a-cam"
    assert riglog("check", "a-cam@7").status == 3
