"""Answers about one invented rig, built by hand, that each test changes as it needs."""

from __future__ import annotations

import pytest

from riglog.jobs.answers import Evidence, Load, Move, Named, NextRung, Value, Vernier, Warned
from riglog.jobs.drop_answers import DropAnswer
from riglog.jobs.neutral_answers import NeutralAnswer
from riglog.jobs.predict_answers import PredictAnswer
from riglog.jobs.swap_answers import FirstMark, Passage, Step, SwapAnswer
from riglog.jobs.swap_words import SwapWords
from riglog.jobs.timing_answers import Timed
from riglog.records import Adjuster, PivotPair

ENTRY = "3ab12f04" + "c" * 56
PIVOT = Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005)
STAGE = Adjuster(id="stage-fore-aft", axis="x", travel=(-0.08, 0.08))
SIDE = Adjuster(id="stage-side", axis="y", travel=(-0.015, 0.015), step=0.0005)
BASE = Adjuster(id="base-fore-aft", axis="x", travel=(-0.06, 0.06))
POST = Named("a-cam", 2, ENTRY, "post", "high")


@pytest.fixture
def pivot() -> Adjuster:
    return PIVOT


@pytest.fixture
def swap() -> SwapAnswer:
    return SwapAnswer(
        named=POST,
        after="lens-75 for lens-35",
        asked=SwapWords("a-cam", ["lens-35=lens-75"]),
        wanted_s=3.0,
        mass_kg=17.2,
        gyration_m=0.34,
        moves=[
            Move("pivot", PIVOT, 0.487, 0.48893, 0.489, 0.4871, 0.4909, "up", free=True),
            Move("stage-fore-aft", STAGE, 0.012, 0.0091, 0.009, 0.0082, 0.0099, "back", free=True),
            Move("stage-side", SIDE, -0.001, -0.00088, -0.001, -0.0013, -0.0005, "left", free=True),
            Move("base-fore-aft", BASE, 0.0, 0.0, 0.0, 0.0, 0.0, "none", free=False),
        ],
        first=FirstMark("pivot", 0.491, Value(2.4, 2.0, 3.0), toward="up"),
        drop_at_mark_s=Value(3.0, 2.5, 4.3),
        margin_kg=0.255,
        passages=[
            Passage("take-off", ("lens-35",), -0.66, turns_over=False),
            Passage("fit", ("lens-75",), 0.12, turns_over=False),
        ],
        steps=[
            Step("hold"),
            Step("take-off", "lens-35"),
            Step("fit", "lens-75"),
            Step("set", "stage-fore-aft", 0.009, -0.003, "back"),
            Step("trim"),
            Step("first-mark", "pivot", 0.491, 0.004, "up"),
            Step("drop"),
            Step("move", "pivot", 0.489, -0.002, "down"),
            Step("trim-again"),
        ],
        vernier=Vernier("monitor-one", 1.2, 0.004, 0.0003, "down", 0.1),
        next_rung=NextRung("weigh", "lens-75", 0.0019, 0.0009),
        loads=[Load("rig", 17.2, None, 24.0), Load("arm", 19.4, 9.0, 20.0)],
        evidence=Evidence(drops=3, readings=5, unweighed=("lens-75",)),
        cautions=("drop-test", "clamp-under-load"),
        warnings=(Warned("near_travel_end", "stage-fore-aft", 0.002),),
    )


@pytest.fixture
def drop() -> DropAnswer:
    return DropAnswer(
        named=POST,
        recorded=ENTRY,
        started=False,
        pivot=PIVOT,
        mark_m=0.487,
        sets="pivot",
        scale=PIVOT,
        stands_m=0.487,
        measured_s=3.9,
        times_s=(3.8, 4.0, 3.9),
        scatter_s=0.1,
        predicted_s=Value(3.0, 2.7, 3.5),
        surprise=3.1,
        wanted_s=3.0,
        move_m=0.00151,
        move=Value(0.00151, 0.0012, 0.0019),
        to_m=0.48851,
        set_m=0.4885,
        toward="up",
        at_target_s=Value(3.0, 2.9, 3.2),
        careful=False,
        margin_kg=0.255,
        depth_m=0.0045,
        vernier=None,
        next_rung=NextRung("two-marks", "a-cam", 0.0019, 0.0009),
        evidence=Evidence(drops=4, readings=4),
        cautions=("clamp-under-load",),
        warnings=(Warned("unlikely_drop", figure=3.1, other=3.0),),
        timed=Timed("stopwatch", 0.1),
    )


@pytest.fixture
def predict() -> PredictAnswer:
    return PredictAnswer(
        named=POST,
        pivot_m=0.487,
        pivot=PIVOT,
        mass_kg=17.2,
        mass_sd_kg=0.015,
        cg_m=(0.0021, -0.0003, 0.4825),
        gyration_m=0.341,
        drop_s=Value(3.0, 2.8, 3.3),
        lean_rad=Value(0.017, -0.003, 0.04),
        depth_m=Value(0.0045, 0.0042, 0.0049),
        margin_kg=0.255,
        loads=[Load("rig", 17.2, None, 24.0)],
        next_rung=NextRung("edge", "lens-75", 0.0009, 0.0007),
        evidence=Evidence(drops=1, readings=1),
    )


@pytest.fixture
def sides() -> PivotPair:
    """Where the two pivots of a ring stand; their mean is where ``drop`` and ``swap`` stand."""
    return PivotPair(left=0.4865, right=0.4875)


@pytest.fixture
def neutral() -> NeutralAnswer:
    return NeutralAnswer(
        marks_m=(0.487, 0.495),
        times_s=(3.0, 1.8),
        wanted_s=5.0,
        neutral_m=Value(0.481, 0.4802, 0.4819),
        gyration_m=Value(0.34, 0.31, 0.372),
        mark_m=Value(0.4826, 0.4817, 0.4834),
        first_m=0.484,
        first_drop_s=Value(3.9, 3.2, None),
    )
