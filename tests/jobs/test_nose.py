"""Drops nose up and nose down, held against pendulums that were let go off trim."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from jobs.flown import flown, question
from scipy.special import ellipk, ellipkinc  # type: ignore[import-untyped]  # scipy ships no types

from riglog.jobs.drop import drop
from riglog.jobs.predict import predict

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.drop_answers import DropAnswer
    from riglog.jobs.nose_answers import Off
    from riglog.library import Library

GRAVITY = 9.80665
LEAN = """\
readings:
  - build: a-cam
    kind: lean
    lean: LEANING deg
    sd: 1 deg
    settings: {pivot: 518 mm}
    on: 2026-03-14T09:30+00:00
"""


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def fall_s(x: float, d: float, k2: float, nose: str) -> float:
    """From horizontal to upright, by elliptic integrals."""
    x = x if nose == "down" else -x
    radius, rest = np.hypot(x, d), np.arctan2(x, d)
    half = np.sin((np.pi / 2 - rest) / 2)
    end = np.arcsin(np.sin(-rest / 2) / half)
    swing = ellipk(half**2) - ellipkinc(end, half**2)
    return float(np.sqrt((k2 + radius**2) / (GRAVITY * radius)) * swing)


def dropped(
    library: Library, x: float, d: float, noses: tuple[str, ...] = ("up", "down")
) -> DropAnswer:
    """A rig that truly hangs so, timed to a hundredth with a sensor."""
    k2 = predict(library, "a-cam", "518mm").gyration_m ** 2
    for nose in noses:
        time = f"{fall_s(x, d, k2, nose):.3f}"
        words = question(
            "a-cam", time, time, time, mark="518mm", want="3s", nose=nose, method="sensor",
            on="2026-03-14T09:10",
        )  # fmt: skip
        answer = drop(library, words)
    return answer


def told(answer: DropAnswer) -> Off:
    assert answer.off is not None
    return answer.off


@pytest.mark.parametrize("x", [0.0008, -0.0008])
def test_the_two_noses_tell_how_far_off_trim_it_hangs(library: Library, x: float) -> None:
    off = told(dropped(library, x, 0.006))
    assert off.both
    assert off.up_s is not None
    assert off.down_s is not None
    assert (off.down_s > off.up_s) is (x > 0)
    assert off.forward_m.low < x < off.forward_m.high
    assert off.forward_m.value == pytest.approx(x, rel=0.15)


def test_the_stage_takes_it_out_by_its_own_share_of_the_weight(library: Library) -> None:
    off = told(dropped(library, 0.0008, 0.006))
    assert off.slide is not None
    assert off.slide.name == "stage-fore-aft"
    assert off.slide.toward == "back"
    # On the stage sit body, lens and hood; the handle does not tilt.
    share = (4.21 + 1.12 + 0.5) / (2.5 + 4.21 + 1.12 + 0.5 + 2.6 + 1.2)
    assert off.slide.move_m.value == pytest.approx(-off.forward_m.value / share, rel=0.01)
    assert off.slide.move_m.low < off.slide.move_m.value < off.slide.move_m.high


def test_the_mean_of_both_is_nearly_free_of_it(library: Library, tmp_path: Path) -> None:
    answer = dropped(library, 0.0008, 0.006)
    assert answer.at_target_s is not None
    (tmp_path / "trimmed").mkdir()
    with flown(tmp_path / "trimmed") as other:
        same = dropped(other, 0.0, 0.006)
    assert answer.move_m == pytest.approx(same.move_m or 0.0, abs=0.0002)
    (tmp_path / "alone").mkdir()
    with flown(tmp_path / "alone") as other:
        alone = dropped(other, 0.0008, 0.006, ("down",))
    assert answer.move is not None
    assert alone.move is not None
    assert _width(alone) > 1.2 * _width(answer)
    assert alone.move.low is not None
    assert alone.move.low < (answer.move_m or 0.0) < (alone.move.high or 0.0)


def _width(answer: DropAnswer) -> float:
    assert answer.move is not None
    assert answer.move.low is not None
    assert answer.move.high is not None
    return answer.move.high - answer.move.low


def test_far_off_it_is_trimmed_first(library: Library) -> None:
    # 2.5 mm forward where it hangs 6 mm below: more than 20 degrees.
    assert told(dropped(library, 0.0025, 0.006)).first


def test_near_trim_the_pivot_comes_first(library: Library) -> None:
    assert not told(dropped(library, 0.0003, 0.006)).first


def test_one_nose_alone_asks_for_the_other_and_nothing_is_trimmed_first(library: Library) -> None:
    off = told(dropped(library, 0.0008, 0.006, ("up",)))
    assert (off.both, off.first, off.down_s) == (False, False, None)


def test_a_lean_that_was_read_tells_it_better(library: Library, tmp_path: Path) -> None:
    x, d = 0.0008, 0.006
    before = told(dropped(library, x, d)).forward_m
    file = tmp_path / "lean.yaml"
    file.write_text(f"riglog: 1\n{LEAN}".replace("LEANING", f"{np.degrees(np.arctan2(x, d)):.1f}"))
    library.add([str(file)])
    after = told(dropped(library, x, d, ("down",)))
    assert after.lean_read
    assert after.forward_m.low < x < after.forward_m.high
    assert after.forward_m.high - after.forward_m.low < before.high - before.low


def test_a_drop_that_says_no_nose_says_nothing_of_trim(library: Library) -> None:
    assert drop(library, question()).off is None
