from __future__ import annotations

from math import radians
from typing import Any

import pytest

from riglog.records import (
    Adjuster,
    BalancePoint,
    Drop,
    HangsUpright,
    Hold,
    Lean,
    PivotPair,
    Reading,
    Spin,
    Swing,
    Weight,
)
from riglog.wording import readings

PIVOT = Adjuster(id="pivot", axis="z", step=0.0005)
INCHES = Adjuster(id="pivot", axis="z", step=0.0254 / 16, unit="in")
WHEN: dict[str, Any] = {"build": "a-cam", "on": "2026-03-14T09:10:00+01:00"}


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        (Drop(times=(3.1, 3.0, 3.25), **WHEN), "3.10, 3.00, 3.25 s"),
        (Drop(times=(3.0,), **WHEN), "3.0 s"),
        (
            Drop(times=(1.9,), nose="up", release=radians(60), method="clip", **WHEN),
            "1.9 s, nose up, from 60 deg, clip",
        ),
        (Weight(mass=17.21, **WHEN), "17.21 kg"),
        (Weight(mass=17.21, conditions=("wind", "tether"), **WHEN), "17.21 kg (wind, tether)"),
        (BalancePoint(at=0.4825, **WHEN), "balances at 482.5 mm"),
        (HangsUpright(**WHEN), "within 1 deg"),
        (Lean(lean=radians(-1.5), side=radians(0.5), **WHEN), "lean -1.5 deg, side 0.5 deg"),
        (Swing(swings=10, time=41.2, start=radians(20), **WHEN), "10 swings in 41.2 s"),
        (
            Swing(swings=1, time=4.1, start=radians(20), end=radians(8), **WHEN),
            "1 swing in 4.1 s, 20 to 8 deg",
        ),
        (Hold(stays=radians(4), falls=radians(6), **WHEN), "stays at 4 deg, falls at 6 deg"),
        (Spin(lens_end="dips", turns=2.5, time=7.0, **WHEN), "lens end dips, 2.5 turns in 7 s"),
    ],
)
def test_a_reading_is_told_as_it_was_written_down(reading: Reading, words: str) -> None:
    assert readings.figures_of(reading, PIVOT) == words


def test_a_mark_is_shown_on_its_scale_and_a_rings_two_sides_beside_each_other() -> None:
    assert readings.mark(0.487, PIVOT) == "487.0 mm"
    assert readings.mark(0.466725, INCHES) == "18 3/8 in"
    assert readings.mark(PivotPair(left=0.212, right=0.213), PIVOT) == "212.0/213.0 mm"
    assert readings.mark(None, PIVOT) == "-"


def test_a_rings_mark_in_json_is_the_mean_and_both_sides() -> None:
    told = readings.mark_json(PivotPair(left=0.212, right=0.213))
    assert told == {"pivot_mm": 212.5, "pivot_left_mm": 212.0, "pivot_right_mm": 213.0}
    assert readings.mark_json(None) == {"pivot_mm": None}


@pytest.mark.parametrize(
    ("reading", "expected"),
    [
        (
            Drop(times=(3.1, 3.0), fps=50.0, **WHEN),
            {"times_s": [3.1, 3.0], "release_deg": 90.0, "stop_deg": 0.0, "fps": 50.0},
        ),
        (Weight(mass=17.21, sd=0.05, **WHEN), {"mass_kg": 17.21, "sd_kg": 0.05}),
        (BalancePoint(at=0.4825, sd=0.002, **WHEN), {"at_mm": 482.5, "sd_mm": 2.0}),
        (Lean(side=radians(0.5), **WHEN), {"lean_deg": None, "side_deg": 0.5, "sd_deg": None}),
        (Swing(swings=10, time=41.2, start=radians(20), **WHEN), {"swings": 10, "time_s": 41.2}),
        (Hold(stays=radians(4), **WHEN), {"stays_deg": 4.0, "falls_deg": None}),
        (
            Spin(lens_end="flat", turns=3, time=7.0, **WHEN),
            {"lens_end": "flat", "turns": 3, "time_s": 7.0},
        ),
    ],
)
def test_every_figure_in_json_has_its_unit_in_its_key(
    reading: Reading, expected: dict[str, Any]
) -> None:
    told = readings.figures_json(reading)
    assert (told["kind"], told["on"]) == (reading.kind, reading.on)
    assert {key: told[key] for key in expected} == {
        key: pytest.approx(value) if isinstance(value, float) else value
        for key, value in expected.items()
    }
