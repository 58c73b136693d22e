"""The tilt of the principal axis, how it answers to everything, and what a pan says of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np
import pytest
from estimation.scenes import A_CAM, AT, COMPONENTS, POST_ONE
from estimation.spun_rigs import center, hanging, placed, random_rig

from riglog.estimation.claims import claims
from riglog.estimation.forward import balance
from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung, Kit, Logged
from riglog.estimation.observations import Observations
from riglog.estimation.parameters import Parameters
from riglog.estimation.products import tilts, whole
from riglog.estimation.stands import Stands
from riglog.estimation.telling import Telling
from riglog.mechanics.balance import pan_lean
from riglog.records import Spin

# In trim, to drop in about 3 s.
SETTINGS = {"pivot": 0.5053, "stage-fore-aft": -0.0094, "stage-side": 0.0}
STAND = Hung(A_CAM, "v", SETTINGS, "2026-03-14")


def spin(lens_end: str, turns: float = 3, time: float = 7) -> Logged:
    reading = Spin(build="a-cam", on=AT, lens_end=lens_end, turns=turns, time=time)  # type: ignore[arg-type]
    return Logged("0" * 64, "kim", reading, STAND)


def kit(*readings: Logged) -> Kit:
    return Kit({"post-one": POST_ONE}, COMPONENTS, readings=readings)


def test_the_whole_is_that_of_solids_put_together_by_hand() -> None:
    solids = random_rig(3)
    made = hanging(solids, 0.5)
    body = whole(made.tree, made.theta, made.positions_m)
    apart = np.array(placed(solids, {})) - center(solids, {})
    masses = np.array([each.mass for each in solids])
    own = [each.mass * np.array(each.size) ** 2 / 12 for each in solids]
    second = (apart.T * masses) @ apart + np.diag(np.sum(own, axis=0))
    assert body.cg_m == pytest.approx(center(solids, {}))
    assert body.inertia_kg_m2 == pytest.approx(np.trace(second) * np.eye(3) - second)


def test_the_tilt_is_where_the_longest_axis_points() -> None:
    made = hanging(random_rig(4), 0.5)
    told = tilts(made.tree, made.theta, made.positions_m)
    _, axes = np.linalg.eigh(told.whole.inertia_kg_m2)
    long = axes[:, 0] * np.sign(axes[2, 0])
    # Each as if the other were nil: good to the product of both.
    assert told.value == pytest.approx([-long[0] / long[2], -long[1] / long[2]], rel=0.02, abs=1e-3)


def test_the_tilt_answers_to_every_parameter_and_adjuster_as_its_differences_say() -> None:
    made = hanging(random_rig(5), 0.5)
    tree, theta, at = made.tree, made.theta, made.positions_m
    told = tilts(tree, theta, at)
    for number, column in enumerate(tree.columns):
        step = np.zeros(len(theta))
        step[column] = 1e-6
        change = tilts(tree, theta + step, at).value - tilts(tree, theta - step, at).value
        assert change / 2e-6 == pytest.approx(told.to_columns[:, number], rel=1e-5, abs=1e-7)
    for number in range(len(at)):
        step = np.zeros(len(at))
        step[number] = 1e-6
        change = tilts(tree, theta, at + step).value - tilts(tree, theta, at - step).value
        assert change / 2e-6 == pytest.approx(told.to_positions[:, number], rel=1e-5, abs=1e-7)


@pytest.mark.parametrize("turns", [0.3, 3.0])
@pytest.mark.parametrize("mode", ["high", "low"])
def test_a_pan_is_read_as_its_differences_say(mode: Literal["high", "low"], turns: float) -> None:
    logged = spin("dips", turns)._replace(hung=STAND._replace(build=replace(A_CAM, mode=mode)))
    stands = Stands(Parameters(kit(logged)))
    observations = Observations.of(stands, [logged])
    theta = stands.parameters.mean
    row = observations.evaluate(theta).rows.jacobian[0]
    assert np.count_nonzero(row) > 20
    for column in np.flatnonzero(row):
        step = np.zeros(len(theta))
        step[column] = 1e-6
        ends = [observations.evaluate(theta + sign * step).residual[0] for sign in (1, -1)]
        # The length of the rig is taken for known: it hardly matters to which end dips.
        size = np.max(abs(row))
        assert (ends[0] - ends[1]) / 2e-6 == pytest.approx(row[column], abs=0.06 * size)


@pytest.mark.parametrize("mode", ["high", "low"])
@pytest.mark.parametrize("rate", [1.0, 3.0])
def test_a_pan_that_hangs_as_the_rig_must_is_no_news(
    mode: Literal["high", "low"], rate: float
) -> None:
    below = 0.505 if mode == "high" else 0.4975
    settings = {**SETTINGS, "pivot": below, "stage-fore-aft": -0.009}
    hung = STAND._replace(build=replace(A_CAM, mode=mode), settings=settings)
    (made,) = Inference(kit(), [hung]).stands
    body = whole(made.tree, made.theta, made.positions_m)
    turned = np.array([1.0, made.tree.up, made.tree.up])
    cg = turned * (body.cg_m - np.array([0.0, 0.0, below]))
    lean = pan_lean(rate, body.mass_kg, cg, turned[:, None] * body.inertia_kg_m2 * turned).lean_rad
    stands = Stands(Parameters(kit()))
    logged = spin("dips", rate / (2 * np.pi), 1.0)._replace(hung=hung)
    claim, *_ = claims(0, logged, {})
    stand = stands.stand(hung)
    theta = stands.parameters.mean
    at = stand.positions(theta)[None]
    claim = claim._replace(value=float(lean))
    told = Telling(stand.tree, [claim], at, balance(stand.tree, theta, at), theta)
    assert told.residual[0] == pytest.approx(0.0, abs=2e-3)
    other = Telling(
        stand.tree, [claim._replace(value=float(lean) + 0.1)], at,
        balance(stand.tree, theta, at), theta,
    )  # fmt: skip
    assert abs(other.residual[0]) > 0.01


def tilt_deg(*readings: Logged) -> tuple[float, float]:
    """Tilt of the principal axis and its standard deviation [deg]."""
    (made,) = Inference(kit(*readings), [STAND]).stands
    told, rows = made.tilt_rows(made.positions_m)
    fore_aft, _ = made.inference.estimates(told.value, rows)
    return float(np.degrees(fore_aft.value)), float(np.degrees(fore_aft.standard_deviation))


def test_what_the_lens_end_does_in_a_fast_pan_pulls_the_axis_that_way() -> None:
    before, sure = tilt_deg()
    dips, rises, flat = (tilt_deg(spin(each)) for each in ("dips", "rises", "flat"))
    # By its documents the lens end rises, and by more than the word alone would say.
    assert before < -4.0
    assert rises[0] == pytest.approx(before, abs=0.25 * sure)
    assert before + 0.5 * sure < flat[0] < dips[0] + 1.5 * sure
    assert flat[1] < 0.9 * sure


def test_two_people_who_say_the_same_know_more() -> None:
    assert tilt_deg(spin("flat"), spin("flat"))[1] < tilt_deg(spin("flat"))[1]
