"""What an operator asks of the library that the demonstration leaves."""

from __future__ import annotations

import json
import shutil
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]  # scipy ships no types
from scipy.optimize import brentq  # type: ignore[import-untyped]

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


def both_noses(asked: Riglog, build: str, down: str, up: str, *more: str) -> Done:
    """A day later than anything was logged, first nose down and then nose up."""
    asked("drop", build, down, down, "--from", "down", "--on", "2026-03-15T09:00")
    return asked("drop", build, up, up, "--from", "up", "--on", "2026-03-15T09:03", *more)


def said(done: Done) -> str:
    assert (done.status, done.err) == (0, ""), done
    return " ".join(done.out.split())


@pytest.mark.parametrize(
    ("build", "down", "up", "gyration_m"),
    [("b-cam", "3.2", "2.4", 0.2955), ("a-cam", "2.95", "2.65", 0.364)],
)
def test_a_rig_that_was_moved_since_it_hung_upright_is_trimmed_first(
    asked: Riglog, build: str, down: str, up: str, gyration_m: float
) -> None:
    answer = said(both_noses(asked, build, down, up))
    assert answer.startswith("Trim first: stage back ")
    # Nothing below says otherwise.
    for contradiction in ("Lower the", "Raise the", " lies at ", "part missing", "slip"):
        assert contradiction not in answer
    found = told(asked("drop", build, up, "--from", "up", "--on", "2026-03-15T09:05", "--json"))
    assert (found["off_trim"]["first"], found["move_mm"], found["set_mm"]) == (True, None, None)
    truth = hung(float(down), float(up), gyration_m)
    forward = found["off_trim"]["forward_mm"]
    assert forward["low"] < 1000 * truth < forward["high"]
    lean = told(asked("predict", build, "--json"))["lean_deg"]
    assert lean["low"] > 5


def hung(down_s: float, up_s: float, gyration_m: float) -> float:
    """Center of gravity forward of the pivot by which it takes these times [m], by an ODE.

    Their quotient tells the lean, and one of them the distance.
    """

    def fall(lean: float, radius: float, nose: int) -> float:
        per_s2 = 9.80665 * radius / (gyration_m**2 + radius**2)

        def turned(_: float, state: Any) -> list[float]:
            return [state[1], -per_s2 * np.sin(state[0] - nose * lean)]

        def upright(_: float, state: Any) -> float:
            return float(state[0])

        upright.terminal = True  # type: ignore[attr-defined]  # how scipy is told
        found = solve_ivp(turned, (0, 60), [np.pi / 2, 0.0], events=upright, rtol=1e-9, atol=1e-12)
        return float(found.t_events[0][0])

    def quotient(lean: float) -> float:
        return fall(lean, 0.005, 1) / fall(lean, 0.005, -1) - down_s / up_s

    lean = brentq(quotient, 0.0, 0.78, xtol=1e-6)
    radius = brentq(lambda r: fall(lean, r, 1) - down_s, 0.001, 0.02, xtol=1e-8)
    return float(radius * np.sin(lean))


def test_two_times_that_no_trim_has_are_told_apart(asked: Riglog) -> None:
    answer = said(both_noses(asked, "b-cam", "4.5", "2.0"))
    assert answer.startswith("Trim first: stage back ")
    assert "No trim makes the two that far apart: one of them is a slip." in answer
    assert "Gimbal" not in answer


def test_of_a_rig_that_nobody_listed_one_nose_does_not_tell_the_trim(asked: Riglog) -> None:
    one = asked("drop", "lone", "3.2", "--from", "down", "--on", "2026-03-15T09:00")
    assert "Which way it hangs off trim that does not tell." in said(one)
    answer = said(both_noses(asked, "lone", "3.2", "2.4"))
    assert answer.startswith("Trim first: move weight back, then drop again.")


def test_a_plain_hold_band_tells_friction(asked: Riglog) -> None:
    words = ("--stays", "2deg", "--falls", "3deg")
    answer = said(asked("hold", "a-cam", *words, "--on", "2026-03-15T09:00"))
    assert answer.startswith("Friction 0.02")
    assert "does not tell" not in answer


def test_a_hold_band_that_contradicts_the_swings_is_named(asked: Riglog) -> None:
    swings = ("--swings", "3", "--from", "30deg", "--to", "20deg", "--time", "30s")
    asked("swing", "a-cam", *swings, "--on", "2026-03-15T09:00")
    words = ("hold", "a-cam", "--stays", "2deg", "--falls", "3deg", "--on", "2026-03-15T09:05")
    found = told(asked(*words, "--json"))
    assert found["deviations"] > 3
    assert "unlikely_friction" in [each["code"] for each in found["warnings"]]
    again = said(asked(*words[:-1], "2026-03-15T09:06"))
    assert "Friction was known before: 0.01" in again
    assert "chance does that" in again


def test_the_two_sides_of_a_ring_are_told_as_they_stand(asked: Riglog) -> None:
    on = ("--on", "2026-03-15T09:00")
    asked("drop", "ring-cam", "1.9", "--mark", "221mm,224mm", *on)
    answer = said(asked("hold", "ring-cam", "--stays", "4", "--on", "2026-03-15T09:08"))
    assert "The side pivots were assumed to stand at 221/224 mm: look at their scales." in answer
    answer = said(asked("drop", "ring-cam", "1.9", "--on", "2026-03-15T09:09"))
    assert "The side pivots were assumed to stand at 221/224 mm: look at their scales." in answer
    answer = said(asked("hold", "ring-head", "--stays", "4", *on))
    assert "The side pivots were assumed to stand at 232 mm: look at their scales." in answer
    answer = said(asked("hold", "a-cam", "--stays", "4", *on))
    assert "The gimbal was assumed to stand at 570.0 mm: look at its scale." in answer


def test_a_document_pans_no_ring_either(asked: Riglog, tmp_path: Path) -> None:
    file = tmp_path / "lean.yaml"
    file.write_text(
        "riglog: 1\nreadings:\n  - build: ring-cam\n    kind: lean\n    lean: 2 deg\n"
        "    pan: 180 deg\n    on: 2026-03-15T09:00\n"
    )
    done = asked("add", str(file))
    assert (done.status, done.out) == (2, "")
    assert "lean.yaml:6: lean of ring-cam pan: a ring rig does not pan in its gimbal" in done.err


def test_an_angle_below_zero_needs_no_dashes_before_it(asked: Riglog) -> None:
    words = ("--pan", "10deg", "--on", "2026-03-15T09:00")
    assert "4.0 deg" in said(asked("lean", "b-cam", "-4deg", *words))
    done = asked("lean", "b-cam", "--", "-4deg", *words)
    assert (done.status, done.out) == (2, "")
    assert done.err.splitlines() == [
        'riglog: "--pan" stands behind "--", where nothing is an option',
        '  leave out "--": an angle below zero needs none',
    ]
