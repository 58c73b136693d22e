"""What dying swings and the hold band tell of friction, and what drops do not."""

from __future__ import annotations

from dataclasses import replace
from math import radians, sin
from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.scenes import A_CAM, AT, POST_ONE, drop, hung, kit, logged
from mechanics.dying_swings import dying_swings, stays_put
from scipy.integrate import quad  # type: ignore[import-untyped]  # scipy ships no types

from riglog.estimation.half_normal import Normal, matched
from riglog.estimation.inference import Inference
from riglog.jobs.friction_known import friction_of, surprise
from riglog.mechanics.friction import drop_time_with_friction
from riglog.records import Hold, Reading, Swing

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.kit import Hung

# Mean and standard deviation of a half-normal of 0.01 N m.
USUAL, USUAL_SD = 0.00797885, 0.0060281
STANDS = hung()


def asked(*readings: Reading, stood: Hung = STANDS) -> Hanging:
    told = [logged(each, stood, entry=f"e-{index}") for index, each in enumerate(readings)]
    return Inference(kit(*told), [stood]).stands[0]


def pendulum(stood: Hung = STANDS) -> tuple[float, float, float]:
    """Mass, height and k^2 by the documents."""
    hanging = asked(stood=stood)
    depth = float(hanging.positions_m[hanging.tree.pivot] - hanging.hangs.cg_m[0, 2])
    return float(hanging.hangs.mass_kg), depth, float(hanging.hangs.gyration_m2[0])


def swung(torque_n_m: float, swings: int = 3, first_deg: float = 40.0) -> Swing:
    """As an ODE solver has the rig of the documents swing."""
    mass, depth, k2 = pendulum()
    friction = torque_n_m / (mass * 9.80665)
    time, last = dying_swings(depth, k2, friction, radians(first_deg), swings)
    return Swing(build="a-cam", on=AT, swings=swings, time=time, start=radians(first_deg), end=last)


def timed(torque_n_m: float, release_deg: float = 90.0) -> Reading:
    mass, depth, k2 = pendulum()
    time = drop_time_with_friction(
        depth, k2, torque_n_m / (mass * 9.80665), release_rad=radians(release_deg)
    )
    return drop(float(time), method="sensor", release=radians(release_deg))


@pytest.mark.parametrize("torque", [0.002, 0.01, 0.03])
def test_swings_that_die_away_tell_friction(torque: float) -> None:
    found = asked(swung(torque), timed(torque)).friction()
    assert found.standard_deviation < 0.3 * USUAL_SD
    assert found.value == pytest.approx(torque, abs=0.6 * found.standard_deviation)


@pytest.mark.parametrize("torque", [0.0, 0.03])
def test_drops_alone_do_not_pretend_to_know_friction(torque: float) -> None:
    found = asked(*[timed(torque)] * 5).friction()
    assert found.value == pytest.approx(USUAL, abs=0.05 * USUAL_SD)
    assert found.standard_deviation == pytest.approx(USUAL_SD, rel=0.02)


def test_swings_without_a_last_angle_tell_the_height_and_no_friction() -> None:
    swing = replace(swung(0.01), end=None)
    before, after = asked(), asked(swing)
    assert after.depth().standard_deviation < 0.2 * before.depth().standard_deviation
    assert after.friction().standard_deviation == pytest.approx(USUAL_SD, rel=0.02)


def test_a_period_tells_where_the_pivot_is_whatever_friction_does() -> None:
    for torque in (0.0, 0.01, 0.015):
        below = asked(swung(torque)).hold().value[1]
        assert below == pytest.approx(pendulum()[1], rel=0.015)


def test_the_tilt_at_which_it_stays_put_tells_friction() -> None:
    mass, depth, _ = pendulum()
    torque = 0.02
    friction = torque / (mass * 9.80665)
    tilts = np.radians(np.arange(0.5, 20.0, 0.5))
    stays = max(tilt for tilt in tilts if stays_put(depth, friction, tilt))
    falls = min(tilt for tilt in tilts if not stays_put(depth, friction, tilt))
    hold = Hold(build="a-cam", on=AT, stays=float(stays), falls=float(falls))
    found = asked(timed(torque), hold, hold, hold, hold).friction()
    assert found.standard_deviation < 0.9 * USUAL_SD
    assert found.value == pytest.approx(torque, abs=1.5 * found.standard_deviation)


def test_it_stays_put_within_the_tilt_that_it_was_seen_to() -> None:
    hold = Hold(build="a-cam", on=AT, stays=radians(3.0))
    friction, depth = asked(timed(0.02), *[hold] * 9).hold().value
    assert friction / depth == pytest.approx(sin(radians(3.0)), rel=0.15)


def test_with_its_head_switched_off_neither_counts() -> None:
    limp = hung(replace(A_CAM, head="off"))
    found = asked(swung(0.03), Hold(build="a-cam", on=AT, falls=0.1), stood=limp)
    assert found.friction().standard_deviation == pytest.approx(USUAL_SD, rel=0.02)


def test_a_slip_in_the_angles_is_not_believed() -> None:
    wild = Hold(build="a-cam", on=AT, stays=radians(70.0))
    hanging = asked(timed(0.01), swung(0.01), wild)
    assert len(hanging.inference.slips) == 1
    assert hanging.friction().value == pytest.approx(0.01, abs=0.002)


def test_the_sooner_it_is_let_go_the_less_friction_weighs() -> None:
    # From 30 degrees friction is 2.3 times as much of the way as from horizontal.
    drops = [timed(0.01, release_deg) for release_deg in (90.0, 30.0)]
    heights = [asked(each, swung(0.01)).depth().value for each in drops]
    assert heights[0] == pytest.approx(heights[1], abs=0.00002)


def moments(told: Normal, scale: float = 0.01) -> tuple[float, float]:
    """Of a half-normal prior times a normal likelihood, by quadrature."""

    def weight(x: float) -> float:
        score = (x - told.mean) ** 2 / told.variance + (x / scale) ** 2
        return float(np.exp(-score / 2 + told.mean**2 / (told.variance + scale**2) / 2))

    end = 12 * scale
    near = [max(told.mean, 0.0)]
    total, first, second = (
        quad(lambda x, n=n: x**n * weight(x), 0.0, end, points=near, epsabs=0.0, limit=200)[0]
        for n in (0, 1, 2)
    )
    return first / total, second / total - (first / total) ** 2


@pytest.mark.parametrize("mean", [-0.004, 0.0, 0.003, 0.01, 0.03])
@pytest.mark.parametrize("sd", [0.001, 0.003, 0.01])
def test_the_replaced_prior_leaves_what_a_half_normal_would(mean: float, sd: float) -> None:
    told = Normal(mean, sd**2)
    prior = matched(told)
    variance = 1 / (1 / prior.variance + 1 / told.variance)
    found = variance * (prior.mean / prior.variance + mean / told.variance)
    assert (found, variance) == pytest.approx(moments(told), rel=1e-5)
    assert found > 0.0


def test_friction_belongs_to_the_rig_and_not_to_the_build() -> None:
    other = replace(POST_ONE, id="post-two")
    stood = hung(replace(A_CAM, id="b-cam", rig="post-two"), version="v2")
    same = hung(replace(A_CAM, id="c-cam"), version="v3")
    told = kit(logged(swung(0.03), STANDS), logged(timed(0.03), STANDS))
    told = told._replace(rigs={**told.rigs, "post-two": other})
    elsewhere, here = Inference(told, [stood, same]).stands
    assert elsewhere.friction().value == pytest.approx(USUAL, rel=0.01)
    assert here.friction().value == pytest.approx(0.03, abs=0.003)


def held_between(torque_n_m: float, rng: np.random.Generator) -> Hold:
    """Tilts a degree apart, each read to a third of one."""
    mass, depth, _ = pendulum()
    band = np.degrees(np.arcsin(min(torque_n_m / (mass * 9.80665 * depth), 1.0)))
    stays = band - rng.uniform(0.0, 1.0)
    read = np.array([stays, stays + 1.0]) + rng.normal(0.0, 0.3, 2)
    least, most = (float(each) for each in np.radians(read))
    return Hold(build="a-cam", on=AT, stays=least if least > 0 else None, falls=max(most, 0.002))


def test_a_hold_band_tells_about_the_friction_that_is_there() -> None:
    rng = np.random.default_rng(20)
    torques = np.abs(rng.normal(0.0, 0.01, 120))
    held, off = 0, []
    for torque in torques:
        found = asked(timed(torque), timed(torque), held_between(torque, rng)).friction()
        low, high = found.interval()
        held += max(low, 0.0) <= torque <= high
        off.append((found.value - torque) / found.standard_deviation)
    assert held / len(torques) >= 0.92
    # Nor are the intervals wider than they need be.
    assert 0.75 < np.sqrt(np.mean(np.square(off))) < 1.1
    assert abs(np.mean(off)) < 0.25


@pytest.mark.parametrize("torque", [0.02, 0.03, 0.04])
def test_a_stiff_pivot_is_told_by_one_bracket(torque: float) -> None:
    mass, depth, _ = pendulum()
    tilt = float(np.arcsin(torque / (mass * 9.80665 * depth)))
    hold = Hold(build="a-cam", on=AT, stays=tilt - radians(0.5), falls=tilt + radians(0.5))
    hanging = asked(timed(torque), timed(torque), hold)
    low, high = hanging.friction().interval()
    assert low < torque < high
    assert hanging.friction().value > 0.6 * torque
    assert friction_of(hanging).told


def test_swings_and_a_hold_band_that_contradict_each_other_are_told_apart() -> None:
    before = asked(timed(0.005), swung(0.005))
    agrees, contradicts = (
        held_between(torque, np.random.default_rng(4)) for torque in (0.005, 0.03)
    )
    off = surprise(before, agrees)
    assert off is not None
    assert abs(off) < 2.0
    assert (surprise(before, contradicts) or 0.0) > 3.0
    # Where nothing was told there is nothing to contradict.
    assert surprise(asked(timed(0.005)), contradicts) is None


def test_swings_that_were_miscounted_tell_no_friction() -> None:
    honest = asked(timed(0.01), timed(0.01), swung(0.01))
    # One swing too many in the same time, and in dying away as far.
    wrong = replace(swung(0.01), swings=5)
    hanging = asked(timed(0.01), timed(0.01), *[timed(0.01)] * 3, wrong)
    assert list(hanging.inference.doubted()) == ["e-5"]
    assert hanging.friction().standard_deviation == pytest.approx(USUAL_SD, rel=0.05)
    assert honest.friction().standard_deviation < 0.3 * USUAL_SD
