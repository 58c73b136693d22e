"""What each kind of reading tells, against the algebra of one uncertain figure at a time."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, tan
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]  # scipy ships no types
from scipy.optimize import least_squares  # type: ignore[import-untyped]

from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung, Kit, Logged
from riglog.estimation.posterior import fit
from riglog.mechanics.pendulum import drop_time
from riglog.records import (
    Adjuster,
    BalancePoint,
    Build,
    Component,
    Drop,
    HangsUpright,
    Lean,
    Mount,
    Part,
    Reading,
    Rig,
    Scale,
    Weight,
)

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging

DAY = "2026-03-14"
AT = f"{DAY}T09:10:00+01:00"
SURE = 1e-7
# A rig of two things on exact mounts: a tube, and a camera whose center is known to 2 mm.
RIG = Rig(
    id="post-one",
    type="post",
    mounts={
        "post": Mount(at=(0.0, 0.0, 0.0), sd=SURE),
        "stage": Mount(at=(0.0, 0.0, 0.76), sd=SURE),
    },
    adjusters=(Adjuster(id="pivot", axis="z", step=0.00005),),
)
TUBE = Component(
    id="tube", kind="post", mass=6.0, mass_sd=SURE, size=(0.05, 0.05, 0.76), cg_sd=SURE,
    cg=(0.0, 0.0, 0.2), inertia=(0.5, 0.5, 0.1, 0.0, 0.0, 0.0),
)  # fmt: skip
BODY = Component(
    id="body", kind="camera", mass=4.0, mass_sd=SURE, size=(0.28, 0.15, 0.17),
    cg=(0.0, 0.0, 0.1), cg_sd=0.002,
)  # fmt: skip
# Heights of the centers: 6 kg at 0.2 m and 4 kg at 0.86 m.
NEUTRAL = (6 * 0.2 + 4 * 0.86) / 10
# The camera's 2 mm are 0.8 mm of the whole; the seating adds 0.25 mm.
CENTER_SD = float(np.hypot(0.4 * 0.002, 0.00025))
BUILD = Build(
    id="a-cam",
    rig="post-one",
    parts=(Part(component="tube", on="post"), Part(component="body", on="stage")),
)


def hung(depth: float = 0.005, *, build: Build = BUILD) -> Hung:
    """Stood with the pivot that high above the center of gravity, as the documents have it."""
    up = 1 if build.mode == "high" else -1
    return Hung(build=build, version="v1", settings={"pivot": NEUTRAL + up * depth}, day=DAY)


def kit(*readings: Logged, body: Component = BODY, rig: Rig = RIG) -> Kit:
    return Kit(
        rigs={"post-one": rig}, components={"tube": TUBE, "body": body}, readings=tuple(readings)
    )


def logged(reading: Reading, stood: Hung) -> Logged:
    return Logged(entry="e-1", author="kim", reading=reading, hung=stood)


def told(*readings: Reading, stood: Hung | None = None, body: Component = BODY) -> Hanging:
    """How the build hangs after readings taken where it stands, every one believed."""
    where = stood or hung()
    inference = Inference(kit(*(logged(each, where) for each in readings), body=body), [where])
    return inference.stands[0]


def forward(hanging: Hanging) -> tuple[float, float]:
    """Best center of gravity forward of the pivot, and its standard deviation [m]."""
    plane = hanging.lean()
    return float(plane.value[0]), float(plane.covariance[0, 0, 0]) ** 0.5


def lies_left(hanging: Hanging) -> float:
    return float(hanging.hangs.cg_m[0, 1])


def merged(prior: float, prior_sd: float, read: float, read_sd: float) -> tuple[float, float]:
    """Mean and standard deviation of a Gaussian figure after one Gaussian reading of it."""
    share = prior_sd**2 / (prior_sd**2 + read_sd**2)
    return prior + share * (read - prior), prior_sd * (1 - share) ** 0.5


def test_the_rig_of_these_tests_is_known_as_well_as_it_says() -> None:
    hanging = told()
    assert hanging.hangs.cg_m[0] == pytest.approx([0.0, 0.0, NEUTRAL])
    assert forward(hanging) == pytest.approx((0.0, CENTER_SD), rel=1e-3)
    below = float(hanging.lean().covariance[0, 1, 1]) ** 0.5
    assert below == pytest.approx(float(np.hypot(CENTER_SD, 0.00005)), rel=1e-3)


# Half-normal friction of 0.01 N m, on average, over the weight.
FRICTION = 0.01 * (2 / np.pi) ** 0.5 / (9.80665 * 10)


def after_lean(lean: float, sd: float) -> tuple[float, float]:
    """Center of gravity forward [m] after a lean was read 5 mm above neutral.

    Nose down is forward, by depth tan(lean). What friction hides and what is not known of the
    depth add to the reading's error, the depth by as much as it is believed to lean.
    """
    height_sd = float(np.hypot(CENTER_SD, 0.00005))

    def scores(forward_and_above: np.ndarray) -> list[float]:
        forward, above = forward_and_above
        noise = np.hypot(sd / cos(lean) ** 2, FRICTION / 0.005)
        leans = (forward / (0.005 + above) - tan(lean)) / noise
        return [forward / CENTER_SD, above / height_sd, leans]

    found = least_squares(scores, [0.0, 0.0])
    covariance = np.linalg.inv(found.jac.T @ found.jac)
    return float(found.x[0]), float(covariance[0, 0] ** 0.5)


@pytest.mark.parametrize("lean", [radians(6), radians(-3)])
def test_a_lean_tells_how_far_forward_the_center_of_gravity_is(lean: float) -> None:
    hanging = told(Lean(build="a-cam", on=AT, lean=lean, sd=radians(1)))
    # How the whole seated itself is no parameter, and so not in what the depth's share is taken of.
    assert forward(hanging) == pytest.approx(after_lean(lean, radians(1)), rel=0.025)


@pytest.mark.parametrize(("mode", "sign"), [("high", -1), ("low", 1)])
def test_the_right_side_low_is_a_center_of_gravity_to_the_worlds_right(
    mode: str, sign: int
) -> None:
    build = replace(BUILD, mode=mode)  # type: ignore[arg-type]  # the table's words are modes
    reading = Lean(build="a-cam", on=AT, side=radians(5), sd=radians(0.3))
    hanging = told(reading, stood=hung(build=build))
    assert lies_left(hanging) == pytest.approx(sign * 0.005 * tan(radians(5)), rel=0.15)
    assert forward(hanging)[0] == pytest.approx(0.0, abs=1e-6)


def test_hanging_upright_tells_that_it_is_in_trim_and_how_well() -> None:
    within, lean = radians(1), radians(2)
    upright = HangsUpright(build="a-cam", on=AT, within=within)
    read_sd = float(np.hypot(0.005 * tan(within), FRICTION))
    alone = merged(0.0, CENTER_SD, 0.0, read_sd)
    assert forward(told(upright)) == pytest.approx(alone, rel=0.01, abs=1e-9)
    both = told(Lean(build="a-cam", on=AT, lean=lean, sd=radians(1)), upright)
    before = after_lean(lean, radians(1))
    assert forward(both) == pytest.approx(merged(*before, 0.0, read_sd), rel=0.03)


def test_a_weight_tells_the_mass_of_all_that_was_not_weighed_well() -> None:
    light = replace(BODY, mass_sd=0.1)
    hanging = told(Weight(build="a-cam", on=AT, mass=10.15, sd=0.05), body=light)
    value, sd = merged(10.0, 0.1, 10.15, 0.05)
    found = hanging.weight()
    # The mass's logarithm is the normal one: that bends it by a fraction of its spread.
    assert found.value == pytest.approx(value, abs=0.003)
    assert found.standard_deviation == pytest.approx(sd, rel=0.03)


def test_a_whole_rig_on_a_scale_is_good_to_two_grams_a_kilogram() -> None:
    loose = replace(BODY, mass_sd=2.0)
    found = told(Weight(build="a-cam", on=AT, mass=12.0), body=loose).weight()
    assert found.standard_deviation == pytest.approx(0.024, rel=0.02)


def test_a_balance_point_tells_the_height_of_neutral() -> None:
    hanging = told(BalancePoint(build="a-cam", on=AT, at=NEUTRAL + 0.001, sd=0.0006))
    posterior = fit(hanging.inference.observations)
    value, sd = merged(0.0, CENTER_SD, 0.001, 0.0006)
    plane = hanging.lean()
    # An edge is not the pivot: what is told is the center, and so the depth by that much less.
    believed = 0.005 - value
    assert posterior.theta == pytest.approx(hanging.theta, abs=1e-5)  # hardly wild
    share = 0.0016**2 * 0.25 / CENTER_SD**2  # of it in the camera; the seating is no parameter
    height = float(hanging.hangs.cg_m[0, 2]) - NEUTRAL
    assert height == pytest.approx(value * share, rel=5e-3)
    assert float(plane.covariance[0, 1, 1]) ** 0.5 == pytest.approx(sd, rel=0.01)
    assert float(plane.mean[0, 1]) == pytest.approx(believed, abs=2e-6)


def test_a_scale_that_reads_down_tells_the_same_balance_point() -> None:
    down = replace(RIG, adjusters=(replace(RIG.adjusters[0], scale=Scale(zero=1.0, reads="down")),))
    stood = hung()._replace(settings={"pivot": 1.0 - NEUTRAL - 0.005})
    reading = BalancePoint(build="a-cam", on=AT, at=1.0 - NEUTRAL - 0.001, sd=0.0006)
    there = Inference(kit(logged(reading, stood), rig=down), [stood]).stands[0]
    here = told(BalancePoint(build="a-cam", on=AT, at=NEUTRAL + 0.001, sd=0.0006))
    assert there.lean().value == pytest.approx(here.lean().value, abs=1e-12)


def test_a_drop_faster_than_believed_raises_the_pivot_above_the_center_of_gravity() -> None:
    k2 = float(told().hangs.gyration_m2[0])
    times = [float(drop_time(0.005 + more, k2)) for more in (0.001, -0.001)]
    fast, slow = (
        told(Drop(build="a-cam", on=AT, times=(time,), method="sensor")).depth() for time in times
    )
    believed = told().depth().value
    assert believed == pytest.approx(0.005 - 1.1069833853 * FRICTION, rel=1e-6)
    assert slow.value < believed - 0.0005
    assert fast.value > believed + 0.0005
    assert fast.value == pytest.approx(0.006, abs=0.0001)
    assert fast.standard_deviation < 0.2 * told().depth().standard_deviation


@pytest.mark.parametrize("mode", ["high", "low"])
def test_a_drop_tells_depth_the_same_way_in_either_mode(mode: str) -> None:
    build = replace(BUILD, mode=mode)  # type: ignore[arg-type]  # the table's words are modes
    k2 = float(told().hangs.gyration_m2[0])
    drop = Drop(build="a-cam", on=AT, times=(float(drop_time(0.006, k2)),), method="sensor")
    hanging = told(drop, stood=hung(build=build))
    up = hanging.tree.up
    assert up * (hanging.positions_m[0] - hanging.hangs.cg_m[0, 2]) > 0.0055
    assert hanging.depth().value == pytest.approx(0.006, abs=0.0001)


def falls(nose: int, x_m: float, depth: float, k2: float) -> float:
    """Time of a drop by the equation of motion; lean is positive with the nose down."""

    def motion(_time: float, state: np.ndarray) -> tuple[float, float]:
        lean, speed = state
        arm = depth * np.sin(lean) - x_m * np.cos(lean)
        return speed, -9.80665 * arm / (k2 + depth**2 + x_m**2)

    def upright(_time: float, state: np.ndarray) -> float:
        return float(state[0])

    upright.terminal = True  # type: ignore[attr-defined]  # the way that scipy asks for it
    start = (nose * np.pi / 2, 0.0)
    way = solve_ivp(motion, (0, 60), start, events=upright, rtol=1e-10, atol=1e-12)
    return float(way.t_events[0][0])


@pytest.mark.parametrize("x_m", [0.0006, -0.0006])
def test_drops_from_nose_down_and_nose_up_tell_which_way_the_center_of_gravity_is_off(
    x_m: float,
) -> None:
    k2 = float(told().hangs.gyration_m2[0])
    down, up = (falls(nose, x_m, 0.005, k2) for nose in (1, -1))
    # A heavy nose is slow to come up to level, and quick to come down to it.
    assert (down > up) == (x_m > 0)
    pair = [
        Drop(build="a-cam", on=AT, times=(time,) * 9, method="sensor", nose=nose)
        for time, nose in ((down, "down"), (up, "up"))
    ]  # type: ignore[list-item]  # the table's words are noses
    found, sd = forward(told(*pair))
    assert found == pytest.approx(x_m, abs=0.00006)
    assert sd < 0.0002
    swapped = [replace(each, nose={"down": "up", "up": "down"}[each.nose or ""]) for each in pair]
    assert forward(told(*swapped))[0] == pytest.approx(-x_m, abs=0.00006)


def test_the_mean_of_both_drops_is_nearly_free_of_the_offset() -> None:
    k2 = float(told().hangs.gyration_m2[0])
    for x_m in (0.0, 0.0006):
        pair = [
            Drop(build="a-cam", on=AT, times=(time,) * 9, method="sensor", nose=nose)
            for time, nose in (
                (falls(1, x_m, 0.0055, k2), "down"), (falls(-1, x_m, 0.0055, k2), "up")
            )
        ]  # type: ignore[list-item]  # fmt: skip
        assert told(*pair).depth().value == pytest.approx(0.0055, abs=0.00006)


@pytest.mark.parametrize("leans", [(3.0, 20.0), (3.0, 0.5), (-8.0, 8.0)])
def test_leans_that_contradict_each_other_leave_the_height_as_a_drop_told_it(
    leans: tuple[float, float],
) -> None:
    drop = Drop(build="a-cam", on=AT, times=(2.5,), method="sensor")
    found = told(drop, *(Lean(build="a-cam", on=AT, lean=radians(lean)) for lean in leans))
    alone = told(drop).depth()
    # So far forward the documents pull it back, and a lean then wants it a little less deep.
    near = 0.25 * alone.standard_deviation
    assert found.depth().value == pytest.approx(alone.value, abs=near)
    # Between the two it hangs.
    low, high = sorted(tan(radians(lean)) * alone.value for lean in leans)
    assert low < forward(found)[0] < high
