"""A rig whose camera sits on a powered head, from its documents to what is said of it."""

from __future__ import annotations

import json
from math import asin, degrees
from typing import TYPE_CHECKING, Any

import pytest
from cli.headed import HEADED
from library.kit import entries, written

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]


@pytest.fixture
def headed(riglog: Riglog, tmp_path: Path) -> str:
    (file,) = written(tmp_path, HEADED)
    assert riglog("init").status == 0
    assert riglog("add", file).status == 0
    return file


def told(done: Done) -> dict[str, Any]:
    assert done.status == 0, done
    found: dict[str, Any] = json.loads(done.out)
    return found


def test_leveled_is_what_a_head_does_unless_somebody_says_otherwise(
    riglog: Riglog, headed: str
) -> None:
    assert headed
    usual = told(riglog("predict", "head-cam", "--json"))
    level = told(riglog("predict", "head-cam", "--head", "level", "--json"))
    locked = told(riglog("predict", "head-cam", "--head", "locked", "--json"))
    assert level == usual
    # Locked, the camera turns with the frame: all that lies off the axis adds to the inertia.
    assert locked["gyration_mm"] > 1.1 * usual["gyration_mm"]


def test_what_a_drop_says_of_the_head_holds_until_another_says_otherwise(
    riglog: Riglog, headed: str
) -> None:
    assert headed
    locked = told(riglog("predict", "head-cam", "--head", "locked", "--json"))
    assert riglog("drop", "head-cam", "0.6", "--head", "locked").status == 0
    after = told(riglog("predict", "head-cam", "--json"))
    assert after["gyration_mm"] == pytest.approx(locked["gyration_mm"], rel=0.05)


@pytest.mark.parametrize("words", [("drop", "head-cam", "2.0"), ("predict", "head-cam"),
                                   ("swap", "head-cam", "lens-35=lens-75")])  # fmt: skip
def test_a_limp_head_is_refused_with_what_to_do_first(
    riglog: Riglog, headed: str, db: Path, words: tuple[str, ...]
) -> None:
    assert headed
    before = entries(db)
    done = riglog(*words, "--head", "off")
    assert done.status == 3
    assert "is switched off: what sits on it is limp" in done.err
    assert "balance the head switched off first" in done.err
    assert entries(db) == before


def test_a_head_does_one_of_four_things(riglog: Riglog, headed: str, kit: str) -> None:
    assert headed
    assert kit
    slip = riglog("predict", "head-cam", "--head", "levl")
    assert (slip.status, "did you mean level?" in slip.err) == (2, True)
    none = riglog("predict", "a-cam", "--head", "level")
    assert (none.status, "nothing on a-cam sits on a powered head" in none.err) == (2, True)


def test_a_document_with_a_drop_of_a_limp_rig_is_refused(
    riglog: Riglog, headed: str, tmp_path: Path
) -> None:
    assert headed
    file = tmp_path / "limp.yaml"
    file.write_text(
        "riglog: 1\nreadings:\n"
        "  - {build: head-cam, kind: drop, times: [2 s], on: 2026-03-14, head: off}\n"
    )
    done = riglog("add", str(file))
    assert done.status == 2
    assert ":3: drop of head-cam head: with its powered head off the rig is limp" in done.err


def test_balanced_anew_a_swap_leaves_fore_and_aft_alone(riglog: Riglog, headed: str) -> None:
    assert headed
    found = told(riglog("swap", "head-cam", "lens-35=lens-75", "--json"))
    slide = next(each for each in found["settings"] if each["adjuster"] == "battery-fore-aft")
    assert slide["move_mm"] == pytest.approx(0.0, abs=1e-6)
    does = [step["do"] for step in found["steps"]]
    assert does[:4] == ["head-off", "take-off", "fit", "balance-head"]
    # The camera's 3 kg, 46 mm behind what was balanced, would have turned the frame.
    warned = {each["code"]: each["message"] for each in found["warnings"]}
    torque = 3.0 * (1.12 * 0.17 / 4.12) * 9.80665
    assert f"live, it would turn the frame with {torque:.2f} N m" in warned["live_head"]
    assert "headed-off" in found["cautions"]
    assert found["evidence"]["on_head"] is True


def test_not_balanced_anew_the_frame_is_trimmed_against_it(riglog: Riglog, headed: str) -> None:
    assert headed
    words = ("swap", "head-cam", "lens-35=lens-75", "--not-rebalanced", "--drop", "0.8s")
    found = told(riglog(*words, "--json"))
    slide = next(each for each in found["settings"] if each["adjuster"] == "battery-fore-aft")
    # Of 4.12 kg balanced, 1.12 kg went whose center was 170 mm ahead of the camera's, and 1.84 kg
    # came that is 190 mm ahead: as much as 1.4 kg of battery makes up for.
    moment = 1.84 * 190 - 1.12 * 170 * (4.84 / 4.12)
    assert slide["move_mm"] == pytest.approx(-moment / 1.4, rel=1e-6)
    does = [step["do"] for step in found["steps"]]
    assert [each for each in does if "head" in each] == ["head-off", "head-on"]
    codes = [each["code"] for each in found["warnings"]]
    assert "not_rebalanced" in codes
    said = riglog(*words)
    # 1.23 N m is what 125.8 kg mm of moment weigh.
    assert "the head holds 1.23 N m" in said.out


def test_only_a_leveled_payload_can_be_left_as_it_was_balanced(riglog: Riglog, headed: str) -> None:
    assert headed
    done = riglog("swap", "head-cam", "lens-35=lens-75", "--not-rebalanced", "--head", "locked")
    assert (done.status, "leave out --not-rebalanced" in done.err) == (2, True)


def test_a_payload_off_balance_turns_the_frame_as_far_as_its_torque_does(
    riglog: Riglog, headed: str
) -> None:
    """The torque does not become less as it leans: M g d sin(lean) holds it, or nothing does."""
    assert headed
    words = ("swap", "head-cam", "lens-35=lens-75", "--not-rebalanced", "--drop", "0.8s", "--json")
    # In kg mm, of a frame with its payload's 4.84 kg on the axis: how far below its zero it lies.
    below = 4 * 20 + 1.5 * 20 - 4.84 * 30 + 1.4 * 150
    moment = 1.84 * 190 - 1.12 * 170 * (4.84 / 4.12)
    warned = {each["code"]: each["message"] for each in told(riglog(*words))["warnings"]}
    assert f"would lean {degrees(asin(moment / below)):.0f} deg, nose down" in warned["leans"]
    assert below - 5 * 11.74 < moment
    lower = told(riglog(*words, "--set", "pivot=-5mm"))
    warned = {each["code"]: each["message"] for each in lower["warnings"]}
    assert "Hold the frame with lens-75 on" in warned["turns_over"]
    assert lower["steps"][0]["do"] == "hold"


@pytest.mark.parametrize(
    ("head", "end"), [("follow", "let it follow the frame"), ("locked", "lock it")]
)
def test_a_swap_for_another_mode_of_the_head_sets_it(
    riglog: Riglog, headed: str, head: str, end: str
) -> None:
    assert headed
    only = riglog("swap", "head-cam", "--drop", "0.8s", "--head", head)
    assert f"At the powered head, hands clear: {end}." in " ".join(only.out.split())
    both = riglog("swap", "head-cam", "lens-35=lens-75", "--drop", "0.8s", "--head", head)
    assert f"then switch it on, hands clear, and {end}." in " ".join(both.out.split())
    same = riglog("swap", "head-cam", "--drop", "0.8s")
    assert "powered head, hands clear" not in " ".join(same.out.split())


def test_what_goes_on_top_of_a_leveled_camera_counts_at_the_axis_of_its_head(
    riglog: Riglog, headed: str
) -> None:
    assert headed
    # In kg mm, below the pivots; a drop shows it less by the usual friction, 0.008 N m.
    below = 4 * 20 + 1.5 * 20 - 4.12 * 30 + 1.4 * 150 - 1.107 * 0.008 / 9.80665 * 1000
    # The axis of the head is 30 mm above the pivots.
    level = told(riglog("predict", "head-cam", "--json"))
    assert level["margin_g"] == pytest.approx(1000 * below / 30, rel=1e-4)
    locked = told(riglog("predict", "head-cam", "--head", "locked", "--json"))
    assert locked["margin_g"] is None or locked["margin_g"] < level["margin_g"]
    above = told(riglog("predict", "head-cam", "--mark", "40mm", "--json"))
    assert above["margin_g"] is None


def test_a_head_is_named_wherever_it_is_told_how_a_rig_hangs(riglog: Riglog, headed: str) -> None:
    assert headed
    riglog("drop", "head-cam", "1.1", "--mark", "0mm", "--head", "locked")
    assert "high mode, head locked" in riglog("predict", "head-cam").out
    shown = riglog("show", "head-cam").out.replace("\n# ", " ")
    assert "battery-fore-aft 0 mm, head locked" in " ".join(shown.split())
    assert told(riglog("show", "head-cam", "--json"))["head"] == "locked"
    swapped = riglog("swap", "head-cam", "lens-35=lens-75", "--drop", "0.8s", "--head", "follow")
    assert "lens-75 for lens-35, head follow, to drop in 0.8 s" in swapped.out
    assert told(riglog("predict", "head-cam", "--head", "level", "--json"))["head"] == "level"


def test_one_drop_with_the_head_locked_does_not_turn_the_level_rig_over(
    riglog: Riglog, headed: str
) -> None:
    assert headed
    for head in ("level", "follow", "locked"):
        lean = told(riglog("predict", "head-cam", "--head", head, "--json"))["lean_deg"]["value"]
        assert lean == pytest.approx(0.0, abs=0.1), head
    known = told(riglog("predict", "head-cam", "--head", "locked", "--json"))
    before, expected_s = known["depth_mm"], known["drop_s"]["value"]
    riglog("drop", "head-cam", f"{expected_s:.2f}", "--mark", "0mm", "--head", "locked")
    after = told(riglog("predict", "head-cam", "--head", "level", "--json"))
    assert after["lean_deg"]["value"] == pytest.approx(0.0, abs=0.5)
    assert before["low"] < after["depth_mm"]["value"] < before["high"]
