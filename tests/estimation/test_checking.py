"""Every reading against the others: by leaving it out in earnest, and on simulated logs."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.dense import QUARTER, Dense, drop_time, height
from estimation.scenes import A_CAM, AT, STANDS, drop, hung, kit, logged, swapped

from riglog.estimation import wild
from riglog.estimation.checking import Checked, forecast, unusual
from riglog.estimation.inference import Inference
from riglog.records import BalancePoint, HangsUpright, Lean, Weight

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.held import Held
    from riglog.estimation.kit import Hung, Logged

LOGS = 40
WANTED_S = (2.4, 2.8, 3.3)


def simulated(seed: int, slip_m: float = 0.0) -> list[Logged]:
    """Two builds that share all but a lens, timed at three marks each; the fourth mark misread.

    All that is uncertain is drawn about the documents; the stage is moved until it hangs upright.
    """
    rng = np.random.default_rng(seed)
    second = swapped()
    builds = [(A_CAM, "v1"), (second, "v2")]
    dense = Dense(kit())
    stood = [hung(build, version) for build, version in builds]
    for each in stood:
        dense.hangs(each, dense.stated(each))
        dense.seated(each)
        dense.friction("post-one")
    mean, sd = np.array(dense.prior).T
    dense.theta = mean + sd * rng.standard_normal(len(mean))
    return [
        _timed(rng, dense, each, wanted, slip_m * (number == 3))
        for number, (each, wanted) in enumerate((s, w) for s in stood for w in WANTED_S)
    ]


def _timed(
    rng: np.random.Generator, dense: Dense, stood: Hung, wanted_s: float, slip_m: float
) -> Logged:
    at = dense.stated(stood)
    for _ in range(3):  # the stage moves the center in proportion, the pivot only the yoke
        hangs = dense.hangs(stood, at)
        cg = hangs.cg + dense.seated(stood)
        share = float(hangs.mass) / 7.0
        at["stage-fore-aft"] = at["stage-fore-aft"] - share * cg[0]
        at["stage-side"] = at["stage-side"] - share * cg[1]
    hidden = 1.1069833853 * float(dense.friction("post-one")) / (9.80665 * float(hangs.mass))
    at["pivot"] = cg[2] + hidden + height(wanted_s, QUARTER, hangs.k2)
    actual_s = float(drop_time(at["pivot"] - cg[2] - hidden, QUARTER, hangs.k2))
    off = {"pivot": 0.0005, "stage-fore-aft": 0.001, "stage-side": 0.0005}
    read = {name: float(at[name] + sd * rng.standard_normal()) for name, sd in off.items()}
    read["pivot"] += slip_m
    times = actual_s + 0.1 * rng.standard_normal(3)
    settings = {name: round(each, 5) for name, each in read.items()}
    return logged(
        drop(*times.tolist()),
        stood._replace(settings=settings),
        entry=f"{stood.version} {wanted_s}",
    )


def checked(readings: Sequence[Logged]) -> Checked:
    return Checked(kit(*readings), [each.hung for each in readings])


def one(said: tuple[Held, ...]) -> Held:
    (only,) = said
    return only


def test_on_logs_without_slips_readings_are_as_far_off_as_chance_has_it() -> None:
    found = [checked(simulated(seed)) for seed in range(LOGS)]
    off = [one(said).deviations for each in found for said in each.held.values()]
    assert np.std(off) == pytest.approx(1.0, abs=0.1)
    assert np.mean(off) == pytest.approx(0.0, abs=0.1)
    assert sum(not each.outstanding for each in found) >= 0.95 * LOGS


def test_a_mark_misread_by_12_mm_is_the_only_reading_that_stands_out() -> None:
    found = [checked(simulated(seed, 0.012)).outstanding for seed in range(10)]
    assert found == [("v2 2.4",)] * 10


def test_a_slip_does_not_make_the_good_readings_beside_it_look_wrong() -> None:
    good, slipped = checked(simulated(1)), checked(simulated(1, 0.012))
    for entry in good.held:
        if entry != "v2 2.4":
            was, now = one(good.held[entry]), one(slipped.held[entry])
            assert abs(now.deviations - was.deviations) < 1.0
    assert one(slipped.held["v2 2.4"]).deviations > 5


def test_two_slips_the_same_way_do_not_hide_each_other() -> None:
    readings = simulated(2)
    for index in (1, 2):
        settings = readings[index].hung.settings
        low = {**settings, "pivot": float(settings["pivot"]) - 0.03}  # type: ignore[arg-type]
        readings[index] = readings[index]._replace(hung=readings[index].hung._replace(settings=low))
    assert set(checked(readings).outstanding) == {readings[1].entry, readings[2].entry}


@pytest.mark.parametrize("index", range(9))
def test_leaving_a_reading_out_is_as_good_as_never_having_had_it(
    index: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The closed form keeps the slopes of the whole fit; fitted without the reading they differ.

    It believes all others, and so must the fit that it is compared with.
    """
    monkeypatch.setattr(wild, "WILD_SHARE", 1e-9)
    timed = simulated(3)
    there = timed[0].hung
    neutral = float(there.settings["pivot"]) - 0.007  # type: ignore[arg-type]
    readings = [
        *timed,
        logged(HangsUpright(build="a-cam", on=AT), there, entry="upright"),
        logged(BalancePoint(build="a-cam", on=AT, at=neutral), there, entry="edge"),
        logged(Weight(build="a-cam", on=AT, mass=11.63), there, entry="weight"),
    ]
    whole = checked(readings).held[readings[index].entry]
    rest = kit(*readings[:index], *readings[index + 1 :])
    alone = forecast(Inference(rest, [readings[index].hung]), readings[index])
    assert len(whole) == len(alone) == (2 if index == 6 else 1)
    for ours, theirs in zip(whole, alone, strict=True):
        assert ours.deviations == pytest.approx(theirs.deviations, abs=0.05, rel=0.06)
        assert ours.predicted.standard_deviation == pytest.approx(
            theirs.predicted.standard_deviation, rel=0.05
        )


def test_what_is_said_is_told_as_a_person_reads_it() -> None:
    there = hung()
    readings = {
        "lean": (Lean(build="a-cam", on=AT, lean=0.05, side=-0.02), [1.0, -1.0]),
        "weight": (Weight(build="a-cam", on=AT, mass=12.5), [1.0]),
        "edge": (BalancePoint(build="a-cam", on=AT, at=0.56), [1.0]),
        "drop": (drop(9.0), [1.0]),
    }
    for entry, (reading, signs) in readings.items():
        said = checked([logged(reading, there, entry=entry)]).held[entry]
        assert [np.sign(each.deviations) for each in said] == signs, entry


def test_a_reading_kept_out_is_held_against_the_others_and_never_stands_out() -> None:
    *readings, last = simulated(4)
    gust = replace(drop(9.0), conditions=("wind",))
    found = checked([*readings, last._replace(reading=gust)])
    assert one(found.held[last.entry]).deviations > 5
    assert found.outstanding == ()


def test_the_more_readings_the_further_off_chance_alone_puts_one() -> None:
    # Two-sided normal quantiles of 0.02 / n.
    assert unusual(1) == pytest.approx(2.3263, abs=1e-4)
    assert unusual(20) == pytest.approx(3.2905, abs=1e-4)
    assert checked([]).outstanding == ()


def test_where_no_two_readings_agree_there_is_still_an_answer() -> None:
    readings = [
        reading._replace(hung=reading.hung._replace(settings={**STANDS, "pivot": at}))
        for reading, at in zip(simulated(5), (0.40, 0.44, 0.48, 0.52, 0.56, 0.60), strict=True)
    ]
    assert len(checked(readings).outstanding) >= 3
