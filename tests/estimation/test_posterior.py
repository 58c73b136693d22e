"""The fit, against a dense least-squares fit of every unknown, written independently."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.dense import Dense
from estimation.scenes import (
    AT,
    PARTS,
    drop,
    hung,
    kit,
    logged,
    random_hung,
    random_kit,
    swapped,
)

from riglog.estimation import wild
from riglog.estimation.inference import Inference
from riglog.estimation.rows import Rows
from riglog.records import BalancePoint, Build, HangsUpright, Lean, Weight

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.kit import Hung, Kit, Logged

B_CAM = swapped()


@pytest.fixture(autouse=True)
def nobody_is_wild(monkeypatch: pytest.MonkeyPatch) -> None:
    """The oracle believes every reading, and so shall the fit."""
    monkeypatch.setattr(wild, "WILD_SHARE", 1e-300)


def believed(hanging: Hanging, wanted_s: float) -> tuple[float, float]:
    """Best mark of a drop time and its standard deviation, with every reading believed."""
    tree = hanging.tree
    free = [tree.adjusters.index(name) for name in ("stage-fore-aft", "stage-side", "pivot")]
    settled = hanging.settle(free, wanted_s)
    index = int(np.flatnonzero(settled.moved == tree.pivot)[0])
    known = hanging.settings(settled, wanted_s)[index]
    return known.value, known.standard_deviation


def both(readings: list[Logged], asked: Hung, over: Kit | None = None) -> tuple[Hanging, Dense]:
    """The estimate and its oracle after the same readings."""
    whole = (over or kit())._replace(readings=tuple(readings))
    oracle = Dense(whole)
    oracle.register(lambda: oracle.mark(asked, 3.0))
    oracle.fit(readings)
    return Inference(whole, [asked]).stands[0], oracle


def test_one_drop_before_a_swap_tells_as_much_as_a_dense_fit_of_everything() -> None:
    readings = [logged(drop(3.1, 3.0, 3.2), hung())]
    asked = hung(B_CAM, "asked")
    hanging, oracle = both(readings, asked)
    mark, sd = believed(hanging, 3.0)
    assert mark == pytest.approx(oracle.mark(asked, 3.0), abs=1e-6)
    assert sd == pytest.approx(oracle.spread(lambda: oracle.mark(asked, 3.0)), rel=1e-3)


def test_all_kinds_of_readings_on_two_builds_agree_with_the_dense_fit() -> None:
    later = "2026-03-15"
    readings = [
        logged(drop(3.1, 3.0, 3.2), hung()),
        logged(drop(2.4, 2.5), hung(pivot=0.508)),
        logged(drop(2.9, method="sensor"), hung(pivot=0.506, day=later)),
        logged(HangsUpright(build="a-cam", on=AT), hung()),
        logged(Lean(build="a-cam", on=AT, lean=0.05, side=-0.03), hung(pivot=0.508)),
        logged(Weight(build="a-cam", on=AT, mass=11.62), hung()),
        logged(BalancePoint(build="a-cam", on=AT, at=0.5002), hung()),
        logged(drop(3.6, 3.7), hung(B_CAM, "v2", pivot=0.523, stage_fore_aft=-0.033)),
        logged(
            drop(2.1, release=np.radians(30.0)),
            hung(B_CAM, "v2", pivot=0.527, stage_fore_aft=-0.033),
        ),
    ]
    asked = hung(B_CAM, "asked", day=later)
    hanging, oracle = both(readings, asked)
    mark, sd = believed(hanging, 3.0)
    assert mark == pytest.approx(oracle.mark(asked, 3.0), abs=1e-6)
    assert sd == pytest.approx(oracle.spread(lambda: oracle.mark(asked, 3.0)), rel=1e-3)


@pytest.mark.parametrize(("seed", "mode"), [(1, "high"), (2, "low"), (3, "high")])
def test_a_turned_tree_of_units_and_unweighed_parts_agrees_with_the_dense_fit(
    seed: int, mode: str
) -> None:
    rng = np.random.default_rng(seed)
    over, stood = random_kit(rng), random_hung(rng, mode)
    oracle = Dense(over)
    # Stands that hang nearly upright, and drop in about 3.2 s and 2.2 s.
    here, there = (_settled(oracle, stood, wanted_s) for wanted_s in (3.2, 2.2))
    readings = [
        logged(drop(2.9, 3.1), here),
        logged(drop(2.2, 2.1), there),
        logged(Lean(build="a-cam", on=AT, lean=0.02, side=0.04), there),
    ]
    asked = here._replace(version="asked")
    hanging, oracle = both(readings, asked, over)
    mark, sd = believed(hanging, 3.0)
    assert mark == pytest.approx(oracle.mark(asked, 3.0), abs=1e-6)
    assert sd == pytest.approx(oracle.spread(lambda: oracle.mark(asked, 3.0)), rel=1e-3)


def _settled(oracle: Dense, stood: Hung, wanted_s: float) -> Hung:
    """The build trimmed for a drop time, by what is believed of it, set to whole steps."""
    scales, positions = oracle.scales(stood.build), oracle.settled(stood, wanted_s)
    settings = {
        name: round(scales[name].scale.reading(float(at)), 3) for name, at in positions.items()
    }
    return stood._replace(settings=settings)


def test_where_everything_is_linear_the_covariance_is_that_of_the_normal_equations() -> None:
    # Balance points are linear in centers and settings; masses are given exactly.
    known = {name: replace(item, mass_sd=1e-9) for name, item in kit().components.items()}
    over = kit()._replace(components=known)
    readings = [
        logged(BalancePoint(build="a-cam", on=AT, at=0.5002), hung()),
        logged(BalancePoint(build="a-cam", on=AT, at=0.5011, sd=0.001), hung(pivot=0.51)),
        logged(BalancePoint(build="a-cam", on=AT, at=0.519), hung(B_CAM, "v2", day="2026-03-15")),
    ]
    asked = hung(B_CAM, "asked", day="2026-03-16")
    hanging, oracle = both(readings, asked, over)
    _, sd = believed(hanging, 3.0)
    jacobian, count = oracle.jacobian, len(oracle.prior)
    assert np.allclose(jacobian[:count], np.diag([1 / each for _, each in oracle.prior]), rtol=1e-6)
    assert sd == pytest.approx(oracle.spread(lambda: oracle.mark(asked, 3.0)), rel=1e-5)


def spread_of_mark(readings: list[Logged], asked: Hung) -> float:
    return believed(both_stands(readings, asked), 3.0)[1]


def both_stands(readings: list[Logged], asked: Hung) -> Hanging:
    return Inference(kit(*readings), [asked]).stands[0]


def test_parts_that_nobody_touched_cancel_in_a_swap() -> None:
    # The two marks are each known to millimeters; their difference to a fraction of that.
    before, after = hung(), hung(B_CAM, "asked")
    inference = Inference(kit(), [before, after])
    marks = [believed(each, 3.0) for each in inference.stands]
    rows = [_mark_row(each) for each in inference.stands]
    shared = inference.posterior.covariance(_pair(*rows))
    difference = float(shared[0, 0] + shared[1, 1] - 2 * shared[0, 1]) ** 0.5
    assert shared[0, 0] == pytest.approx(marks[0][1] ** 2)
    assert difference < 0.5 * min(sd for _, sd in marks)


def _mark_row(hanging: Hanging) -> tuple[Rows, int]:
    settled = hanging.settle([1, 2, 0], 3.0)
    return hanging.setting_rows(settled, 3.0), int(np.flatnonzero(settled.moved == 0)[0])


def _pair(one: tuple[Rows, int], other: tuple[Rows, int]) -> Rows:
    (left, i), (right, j) = one, other
    return Rows(
        np.stack([left.jacobian[i], right.jacobian[j]]),
        np.stack([left.rigging[i], right.rigging[j]]),
        (left.seats[i], right.seats[j]),
    )


def test_five_drops_at_one_mark_are_not_five_marks() -> None:
    times = (3.1, 3.0, 3.2, 3.05, 3.15)
    asked = hung(version="asked")
    at_one = [logged(drop(each), hung()) for each in times]
    marks = (0.5040, 0.5045, 0.5050, 0.5055, 0.5060)
    spread = [logged(drop(each), hung(pivot=mark)) for each, mark in zip(times, marks, strict=True)]
    one = spread_of_mark([logged(drop(3.1, method="sensor"), hung())], asked)
    assert spread_of_mark(at_one, asked) > 0.97 * one
    assert spread_of_mark(spread, asked) < 0.8 * spread_of_mark(at_one, asked)


def test_repeats_in_one_reading_and_in_several_say_the_same() -> None:
    asked = hung(version="asked")
    together = believed(both_stands([logged(drop(3.0, 3.2), hung())], asked), 3.0)
    apart = believed(
        both_stands([logged(drop(3.0), hung()), logged(drop(3.2), hung())], asked), 3.0
    )
    assert apart[0] == pytest.approx(together[0], abs=2e-5)
    assert apart[1] == pytest.approx(together[1], rel=0.01)


def test_putting_the_rig_together_again_draws_its_rigging_anew() -> None:
    readings = [logged(drop(3.1, method="sensor"), hung(pivot=mark)) for mark in (0.503, 0.506)]
    same_day, next_day = hung(version="asked"), hung(version="asked", day="2026-03-15")
    # Only what the seating and the slides add lies between the two.
    assert spread_of_mark(readings, next_day) > 1.1 * spread_of_mark(readings, same_day)


def test_friction_acts_as_a_shift_of_neutral() -> None:
    # Unknown friction widens what a weighed rig knows by its share, and a timed rig by nothing.
    cold = both_stands([], hung())
    rows = cold.setting_rows(cold.settle([1, 2, 0], 3.0), 3.0)
    column = cold.inference.parameters.friction("post-one")[0]
    index = 2
    mass = float(cold.hangs.mass_kg)
    # 1.1069833853 = perturbation of a drop by friction over its perturbation by height.
    assert rows.jacobian[index, column] == pytest.approx(1.1069833853 / (9.80665 * mass))


def test_a_reading_nobody_could_have_taken_still_has_an_answer() -> None:
    readings = [logged(drop(0.3), hung()), logged(drop(55.0), hung(pivot=0.6))]
    mark, sd = believed(both_stands(readings, hung(version="asked")), 3.0)
    assert np.isfinite(mark)
    assert sd > 0


def test_readings_that_contradict_each_other_keep_every_mass_within_reason() -> None:
    # Of one rig with hardly anything listed: no height of it has any two of these.
    bare = Build(id="a-cam", rig="post-one")
    half = Build(id="b-cam", rig="post-one", parts=PARTS[1:3])
    said = [(bare, 0.53, 9.0), (bare, 0.518, 5.0), (half, 0.518, 9.0), (half, 0.4, 0.5),
            (half, 0.6, 3.1), (bare, 0.545, 9.0)]  # fmt: skip
    readings = [logged(drop(time), hung(build, build.id, pivot=mark)) for build, mark, time in said]
    inference = Inference(kit(*readings), [hung(bare)])
    parameters = inference.parameters
    far = np.abs(inference.posterior.theta - parameters.mean)[parameters.logarithm]
    assert parameters.logarithm.any()
    assert np.all(far <= 4)
    assert np.isfinite(inference.stands[0].depth().value)


def test_no_reading_at_all_leaves_the_priors() -> None:
    hanging = both_stands([], hung())
    posterior = hanging.inference.posterior
    assert posterior.theta == pytest.approx(posterior.prior_mean)
    assert believed(hanging, 3.0)[1] == pytest.approx(_spread_before(hung()), rel=1e-3)


def _spread_before(asked: Hung) -> float:
    """Standard deviation of the 3 s mark before anything was read, by the oracle."""
    oracle = Dense(kit())
    oracle.register(lambda: oracle.mark(asked, 3.0))
    mean, sd = (np.array(each) for each in zip(*oracle.prior, strict=True))
    oracle.theta, oracle.jacobian = mean, np.diag(1 / sd)
    return oracle.spread(lambda: oracle.mark(asked, 3.0))
