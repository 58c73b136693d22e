"""Readings of how a rig swings and stays put, from words typed to what is said of them."""

from __future__ import annotations

import json
from math import radians
from typing import TYPE_CHECKING, Any

import pytest
from library.kit import entries

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]

# At 3.0 s and 13 kg, four swings that go from 30 to 17 degrees are stopped by about 0.009 N m.
SWUNG = ("--swings", "4", "--from", "30", "--to", "17deg", "--time", "41s")


def told(done: Done) -> dict[str, Any]:
    assert done.status == 0, done
    found: dict[str, Any] = json.loads(done.out)
    return found


def test_dying_swings_tell_friction_and_the_drop_time(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    riglog("drop", "a-cam", "3.1", "3.0", "--mark", "487mm")
    found = told(riglog("swing", "a-cam", *SWUNG, "--json"))
    last = entries(db)[-1]
    assert (last.id, last.kind) == (found["recorded"], "reading")
    assert last.body["end"] == radians(17)
    assert found["friction"]["told"] is True
    assert found["before"]["told"] is False
    torque = found["friction"]["torque_n_m"]
    # 13 degrees in four swings is 0.0142 of M g d, and d follows from the period.
    tilt = found["friction"]["hold_deg"]
    assert tilt["low"] < 57.3 * 0.0142 < tilt["high"]
    assert torque["low"] < torque["value"] < torque["high"]
    assert found["period_s"] == pytest.approx(10.25)


def test_what_was_learned_is_said_first_and_kept_for_what_is_asked_next(
    riglog: Riglog, kit: str
) -> None:
    assert kit
    assert "friction" not in riglog("predict", "a-cam").out
    said = riglog("swing", "a-cam", *SWUNG)
    assert said.out.startswith("Friction 0.0")
    assert "it stays put within 0.8 deg of where it" in said.out
    assert "friction holds within" in riglog("predict", "a-cam").out


def test_swings_alone_ask_for_the_last_angle(riglog: Riglog, kit: str) -> None:
    assert kit
    said = riglog("swing", "a-cam", "--swings", "4", "--from", "30", "--time", "41")
    assert said.out.startswith("A swing takes 10.2 s: it drops in 2.9 s (")
    assert "Tell the angle of the last swing too, as --to 8deg" in said.out


def test_how_far_it_stays_put_is_recorded_as_written(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    words = ("--stays", "4", "--falls", "6deg", "--mark", "490", "--note", "stiff")
    assert riglog("hold", "a-cam", *words).status == 0
    body = entries(db)[-1].body
    assert (body["stays"], body["falls"], body["note"]) == (radians(4), radians(6), "stiff")
    assert body["stand"]["settings"]["pivot"] == 0.49


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("hold", "a-cam"), "no tilt was told; add --stays 4deg, or --falls 6deg, or both"),
        (("hold", "a-cam", "--stays", "6", "--falls", "4"), "it stays at more than it falls at"),
        (("hold", "a-cam", "--stays", "0"), "is no tilt from where it hangs"),
        (("swing", "a-cam", "--swings", "3.5", "--from", "30", "--time", "9"), "no number of"),
        (("swing", "a-cam", "--swings", "0", "--from", "30", "--time", "9"), "no number of"),
        (("swing", "a-cam", "--swings", "3", "--from", "190", "--time", "9"), "no tilt from"),
        (("swing", "a-cam", "--swings", "3", "--from", "9", "--time", "0"), "no time of swings"),
        (
            ("swing", "a-cam", "--swings", "3", "--from", "9", "--to", "12", "--time", "9"),
            "the swings grow",
        ),
        (("swing", "a-cam", *SWUNG, "--head", "level"), "nothing on a-cam sits on a powered head"),
        (("swing", "a-cam", *SWUNG, "--condition", "sun"), "is no condition of a reading"),
    ],
)
def test_a_wrong_word_records_nothing(
    riglog: Riglog, kit: str, db: Path, words: tuple[str, ...], message: str
) -> None:
    assert kit
    before = entries(db)
    done = riglog(*words)
    assert done.status == 2
    assert message in done.err.replace("\n  ", "; ")
    assert entries(db) == before


def test_in_the_wind_swings_are_kept_and_count_for_nothing(riglog: Riglog, kit: str) -> None:
    assert kit
    found = told(riglog("swing", "a-cam", *SWUNG, "--condition", "wind", "--json"))
    assert found["friction"] == found["before"]
    assert "kept_out" in [each["code"] for each in found["warnings"]]


def test_panned_half_round_the_gimbal_is_told_from_the_rig(
    riglog: Riglog, kit: str, db: Path
) -> None:
    assert kit
    riglog("drop", "a-cam", "3.1", "3.0", "--mark", "487mm")
    first = riglog("lean", "a-cam", "3deg", "--pan", "0")
    assert first.out.startswith("It leans 3.0 deg, nose down: ")
    assert "Read it again panned half round" in first.out
    second = riglog("lean", "a-cam", "-2.5", "--pan", "180deg")
    assert second.out.startswith("Center the gimbal, whose axis lies 0.")
    assert "behind its middle; the rig itself is" in second.out
    body = entries(db)[-1].body
    assert (body["lean"], body["pan"]) == (radians(-2.5), radians(180))


def test_turning_along_it_is_the_rig(riglog: Riglog, kit: str) -> None:
    assert kit
    riglog("drop", "a-cam", "3.1", "3.0", "--mark", "487mm")
    riglog("lean", "a-cam", "3deg", "--pan", "0", "--side", "-3")
    found = told(riglog("lean", "a-cam", "3.2", "--pan", "180deg", "--side", "2.9", "--json"))
    fore_aft, side = found["ways"]
    assert (fore_aft["along"], fore_aft["attention"]) == ("lean", "rig")
    assert (side["along"], side["attention"]) == ("side", "gimbal")
    assert fore_aft["rig_mm"]["value"] > 0 > fore_aft["slide"]["move_mm"]
    assert found["reverse"] is False


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("a-cam",), "no lean was told"),
        (("a-cam", "3", "4"), '"4" is one angle too many'),
        (("a-cam", "95"), "is no lean of a rig that hangs"),
        (("a-cam", "3mm"), '"3mm"'),
        (("ring-cam", "3", "--pan", "180"), "a ring rig does not pan in its gimbal"),
    ],
)
def test_a_lean_that_is_none_records_nothing(
    riglog: Riglog, kit: str, db: Path, words: tuple[str, ...], message: str
) -> None:
    assert kit
    if words[0] == "ring-cam":
        riglog("drop", "ring-cam", "1.5", "--type", "ring")
    before = entries(db)
    done = riglog("lean", *words)
    assert (done.status, message in done.err) == (2, True)
    assert entries(db) == before
