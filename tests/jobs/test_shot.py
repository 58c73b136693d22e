"""`shot`: every figure against the motion itself."""

from __future__ import annotations

from math import cos, degrees, hypot, pi, radians, sin, tan
from typing import TYPE_CHECKING

import numpy as np
import pytest
from jobs.flown import flown, hangs_at, question
from scipy.integrate import solve_ivp

from riglog.errors import CallError, UnreachableError
from riglog.estimation.inference import Inference
from riglog.estimation.interval import TWO_SIDED
from riglog.jobs.answers import Value
from riglog.jobs.drop import drop
from riglog.jobs.shot import shot
from riglog.jobs.shot_question import ShotQuestion
from riglog.library import Library
from riglog.library.evidence import kit_for

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.shot_answers import ShotAnswer, ShotRow

GRAVITY = 9.80665
# Torque of a usual pivot, nobody having told it.
FRICTION_N_M = 0.01 * (2 / pi) ** 0.5
MOVE = ShotQuestion(from_="80deg", to="0deg", over="3.5s")


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def best(known: Value | None) -> float:
    assert known is not None
    assert known.value is not None
    return known.value


def taken(answer: ShotAnswer) -> ShotRow:
    return answer.rows[answer.chosen]


def height(library: Library, row: ShotRow) -> tuple[float, float, float]:
    """Height of the pivot [m], k^2 and mass, with the pivot at a row's mark, by the documents."""
    standing = library.standing("a-cam")
    settings = {**standing.settings, "pivot": row.mark.to_m}
    hangs = hangs_at(library, standing.build, settings)  # type: ignore[arg-type]  # all are figures
    return row.mark.to_m - float(hangs.cg[2]), float(hangs.k2), float(hangs.mass)


def test_the_drop_time_that_a_move_wants_is_that_of_the_rig_that_falls_through_it(
    library: Library,
) -> None:
    row = taken(shot(library, "a-cam", MOVE))
    d, k2, mass = height(library, row)

    def motion(_: float, state: list[float]) -> list[float]:
        pull = -mass * GRAVITY * d * sin(state[0]) + FRICTION_N_M
        return [state[1], pull / (mass * (k2 + d * d))]

    def upright(_: float, state: list[float]) -> float:
        return state[0]

    upright.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(motion, (0.0, 60.0), [radians(80), 0.0], events=upright, rtol=1e-10, atol=1e-12)
    assert run.t[-1] == pytest.approx(3.5, abs=0.01)
    assert row.fall_s.value == pytest.approx(3.5, abs=1e-6)


def test_a_move_upwards_wants_what_the_way_back_wants(library: Library) -> None:
    down = shot(library, "a-cam", MOVE)
    up = shot(library, "a-cam", MOVE._replace(from_="0deg", to="80deg"))
    assert up.wanted_s == down.wanted_s
    other = shot(library, "a-cam", MOVE._replace(from_="-80deg", to="0deg"))
    assert other.wanted_s == pytest.approx(down.wanted_s)


def test_the_force_at_the_grip_holds_the_tilt(library: Library) -> None:
    answer = shot(library, "a-cam", MOVE._replace(grip="300mm"))
    for row in answer.rows:
        d, _, mass = height(library, row)
        torque = mass * GRAVITY * d * sin(radians(80)) - FRICTION_N_M
        assert row.force_n.value == pytest.approx(torque / 0.3, rel=0.01)


def test_a_start_swings_it_as_the_energy_says_and_a_longer_drop_less(library: Library) -> None:
    rows = shot(library, "a-cam", ShotQuestion(walk="2m/s")).rows
    for row in rows:
        d, k2, _ = height(library, row)
        rate = 2.0 * d / (k2 + d * d)
        assert (k2 + d * d) * rate**2 / 2 == pytest.approx(
            GRAVITY * d * (1 - cos(best(row.swing_rad))), rel=0.01
        )
    swings = [best(row.swing_rad) for row in rows]
    assert swings == sorted(swings, reverse=True)


def test_an_acceleration_is_told_only_where_one_is_asked(library: Library) -> None:
    assert all(row.accel_rad is None for row in shot(library, "a-cam", ShotQuestion()).rows)
    whole = shot(library, "a-cam", ShotQuestion(accel="1.5m/s2")).rows[0].accel_rad
    assert whole is not None
    assert whole.value == pytest.approx(2 * np.arctan(1.5 / GRAVITY))
    held = shot(library, "a-cam", ShotQuestion(accel="1.5m/s2", for_="0.5s")).rows
    assert all(0 < best(row.accel_rad) < best(whole) for row in held)


def test_each_drop_time_asked_has_its_mark_and_the_first_is_surely_bottom_heavy(
    library: Library,
) -> None:
    answer = shot(library, "a-cam", ShotQuestion(drops=("4s", "2s")))
    assert [row.drop_s for row in answer.rows] == [2.0, 4.0]
    for row in answer.rows:
        d, k2, mass = height(library, row)
        seen = d - 1.107 * FRICTION_N_M / (mass * GRAVITY)
        drop = 1.8540747 * ((k2 + seen**2) / (GRAVITY * seen)) ** 0.5
        assert drop == pytest.approx(row.drop_s, rel=2e-3)
        assert row.mark.low_m < row.mark.to_m < row.mark.high_m
    assert answer.first.set_m >= taken(answer).mark.set_m


def test_one_step_of_the_pivot_is_one_step_of_its_scale(library: Library) -> None:
    row = shot(library, "a-cam", ShotQuestion(drops=("4s",))).rows[-1]
    d, k2, mass = height(library, row)
    hidden = 1.107 * FRICTION_N_M / (mass * GRAVITY)
    for told, change in ((row.up_s, 0.0005), (row.down_s, -0.0005)):
        there = d - hidden + change
        assert told.value == pytest.approx(
            1.8540747 * ((k2 + there**2) / (GRAVITY * there)) ** 0.5, rel=2e-3
        )


def test_the_slide_for_a_lean_hangs_it_there(library: Library) -> None:
    answer = shot(library, "a-cam", ShotQuestion(lean="10deg", drops=("2s",)))
    assert answer.lean_name == "stage-fore-aft"
    build = library.standing("a-cam").build
    settings = dict(library.standing("a-cam").settings)
    for row in answer.rows:
        readings = {**settings, "pivot": row.mark.to_m, "stage-fore-aft": best(row.lean_to_m)}
        hangs = hangs_at(library, build, readings)  # type: ignore[arg-type]  # all are figures
        across, below = float(hangs.cg[0]), row.mark.to_m - float(hangs.cg[2])
        assert degrees(np.arctan2(across, below)) == pytest.approx(10, abs=0.3)
        assert hypot(across, below) > 0
        assert tan(radians(10)) * below == pytest.approx(across, rel=0.05)


def test_a_drop_time_of_nothing_is_none(library: Library) -> None:
    with pytest.raises(CallError, match='"0s" is no drop time'):
        shot(library, "a-cam", ShotQuestion(drops=("0s",)))


def test_a_move_faster_than_any_fall_has_no_answer(library: Library) -> None:
    with pytest.raises(UnreachableError, match=r"no drop time falls through that move in 0\.3 s"):
        shot(library, "a-cam", MOVE._replace(over="0.3s"))


def share(known: Value | None) -> float:
    """Width of the 95 %, over the figure."""
    assert known is not None
    assert known.low is not None
    assert known.high is not None
    return (known.high - known.low) / best(known)


def test_a_known_drop_time_tells_how_it_falls_and_swings_and_hardly_what_a_hand_holds(
    library: Library,
) -> None:
    row = shot(library, "a-cam", ShotQuestion(drops=("3s",))).rows[0]
    assert share(row.fall_s) < 0.01
    assert share(row.swing_rad) < 0.02
    assert share(row.force_n) > 0.05
    assert share(row.band_rad) > 1


def test_what_a_hand_holds_is_as_sure_as_mass_times_k2(library: Library) -> None:
    row = shot(library, "a-cam", ShotQuestion(drops=("3s",))).rows[0]
    standing = library.standing("a-cam")
    hung = standing.hung("2026-03-14")
    hanging = Inference(kit_for(library.logbook, [hung], []), [hung]).stands[0]
    log_k2, weight = hanging.log_gyration(), hanging.weight()
    least = 2 * TWO_SIDED * log_k2.standard_deviation
    most = least + 2 * TWO_SIDED * weight.standard_deviation / weight.value
    assert 0.95 * least < share(row.force_n) < 1.1 * most


def test_with_nothing_weighed_its_bounds_are_wide_and_lopsided(tmp_path: Path) -> None:
    with Library.create(tmp_path / "bare.db", "kim") as bare:
        drop(bare, question("north", mark="487mm"))
        row = shot(bare, "north", ShotQuestion(drops=("3s",))).rows[0]
    assert row.margin_kg is None
    assert share(row.force_n) > 0.8
    assert row.force_n.high is not None
    assert row.force_n.low is not None
    assert row.force_n.high - best(row.force_n) > best(row.force_n) - row.force_n.low


def test_a_step_lower_that_may_turn_it_over_has_no_end(tmp_path: Path) -> None:
    with Library.create(tmp_path / "bare.db", "kim") as bare:
        drop(bare, question("north", mark="487mm"))
        rows = shot(bare, "north", ShotQuestion(drops=("3s", "6s"))).rows
    assert rows[0].down_s.high is not None
    assert rows[1].down_s.high is None


def test_a_curve_goes_with_it(library: Library) -> None:
    curve = shot(library, "a-cam", ShotQuestion()).curve
    assert curve is not None
    assert curve.here_m == 0.518
    values = [each.value for each in curve.drop_s if each.value is not None]
    assert values == sorted(values, reverse=True)
    assert all(isinstance(each, Value) for each in curve.drop_s)
