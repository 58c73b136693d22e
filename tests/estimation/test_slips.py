"""Readings that are grossly off: found before the fit, and kept out of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from estimation.scenes import BODY, drop, hung, kit, logged

from riglog.estimation.inference import Inference
from riglog.mechanics.pendulum import drop_time

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.kit import Logged

# Where the build is neutral by its documents, as a drop tells it, and its k^2.
STANDS = hung(pivot=0.475)


def taken(height_m: float, slip_m: float = 0.0, time_s: float | None = None) -> Logged:
    """A drop of a rig that is as its documents say, its mark or its time told wrongly."""
    hanging = Inference(kit(), [STANDS]).stands[0]
    k2 = float(hanging.hangs.gyration_m2[0])
    pivot = 0.475 + height_m - float(hanging.depth().value)
    time = float(drop_time(height_m, k2)) if time_s is None else time_s
    settings = {**STANDS.settings, "pivot": round(pivot + slip_m, 4)}
    return logged(drop(time), STANDS._replace(settings=settings))


def asked(*readings: Logged) -> Hanging:
    return Inference(kit(*readings), [STANDS._replace(version="asked")]).stands[0]


def slipped(hanging: Hanging) -> list[int]:
    inference = hanging.inference
    return [inference.observations.claims[index].reading for index in inference.slips]


GOOD = (0.004, 0.005, 0.0065)
DIGIT, TENTH = 0.1, 0.05


@pytest.mark.parametrize("slip_m", [DIGIT, -DIGIT, TENTH, -TENTH])
@pytest.mark.parametrize("place", [0, 1, 2, 3])
def test_a_wrong_digit_of_a_mark_changes_nothing_that_good_drops_say(
    slip_m: float, place: int
) -> None:
    good = [taken(height) for height in GOOD]
    clean, wrong = asked(*good), list(good)
    wrong.insert(place, taken(0.005, slip_m))
    held = asked(*wrong)
    assert slipped(held) == [place]
    assert held.depth().value == pytest.approx(clean.depth().value, abs=5e-5)
    bounds = clean.depth().interval()
    assert held.depth().interval() == pytest.approx(bounds, abs=2e-4)


@pytest.mark.parametrize("time_s", [0.2, 0.4])
def test_a_time_that_no_rig_has_changes_nothing_that_good_drops_say(time_s: float) -> None:
    clean = asked(taken(0.004), taken(0.005))
    held = asked(taken(0.004), taken(0.005), taken(0.005, time_s=time_s))
    assert slipped(held) == [2]
    assert held.depth().value == pytest.approx(clean.depth().value, abs=1e-4)


def test_two_slips_are_both_found() -> None:
    good = [taken(height) for height in GOOD]
    held = asked(*good, taken(0.005, DIGIT), taken(0.005, time_s=0.2))
    assert sorted(slipped(held)) == [3, 4]
    assert held.depth().value == pytest.approx(asked(*good).depth().value, abs=1e-4)


def test_good_drops_and_misread_marks_are_no_slips() -> None:
    assert slipped(asked(*(taken(height) for height in GOOD))) == []
    assert slipped(asked(*(taken(height) for height in GOOD), taken(0.005, 0.02))) == []
    assert slipped(asked()) == []


def test_the_only_drop_of_a_build_stands_against_documents_that_lack_a_part() -> None:
    # 2.5 kg that nobody listed at one end put the center of gravity off by half a hand.
    assert slipped(asked(taken(0.005, DIGIT))) == []


def test_drops_that_agree_stand_against_documents_that_are_far_off() -> None:
    assert slipped(asked(taken(0.005, DIGIT), taken(0.006, DIGIT), taken(0.007, DIGIT))) == []


def test_where_little_is_known_of_a_part_no_drop_is_far_off() -> None:
    vague = {"body-north": replace(BODY, mass=None, cg_sd=0.1)}
    readings = kit(taken(0.005), taken(0.005, TENTH), components=vague)
    alone = Inference(readings._replace(readings=readings.readings[1:]), [STANDS])
    assert alone.slips == {}
