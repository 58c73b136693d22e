"""Friction where a rig stands: what is told of the hold band, wherever neutral may be."""

from __future__ import annotations

from math import pi, radians
from typing import TYPE_CHECKING

import pytest
from estimation.scenes import AT, drop, hung, kit, logged
from hypothesis import given, settings
from hypothesis import strategies as st

from riglog.estimation.inference import Inference
from riglog.jobs.friction_known import friction_of
from riglog.records import Hold, Swing

if TYPE_CHECKING:
    from riglog.jobs.friction_answers import Friction
    from riglog.records import Reading

DEGREES = st.floats(0.1, 60.0)


def known(*readings: Reading, pivot: float) -> Friction:
    stands = hung(pivot=pivot)
    told = [logged(each, stands, entry=f"e-{index}") for index, each in enumerate(readings)]
    return friction_of(Inference(kit(*told), [stands]).stands[0])


@settings(max_examples=60, deadline=None)
@given(
    pivot=st.floats(0.493, 0.515),
    time=st.floats(1.5, 9.0),
    stays=DEGREES,
    more=DEGREES,
    kinds=st.sets(st.sampled_from(["drop", "hold", "swing"])),
)
def test_the_hold_band_lies_within_its_bounds_wherever_neutral_may_be(
    pivot: float, time: float, stays: float, more: float, kinds: set[str]
) -> None:
    readings: dict[str, Reading] = {
        "drop": drop(time),
        "hold": Hold(build="a-cam", on=AT, stays=radians(stays), falls=radians(stays + more)),
        "swing": Swing(
            build="a-cam", on=AT, swings=3, time=9 * time, start=radians(stays + more),
            end=radians(stays),
        ),
    }  # fmt: skip
    band = known(*(readings[kind] for kind in sorted(kinds)), pivot=pivot).hold_rad
    if band.value is None:
        assert (band.low, band.high) == (None, None)
        return
    assert band.low is not None
    assert 0.0 <= band.low <= band.value <= (pi / 2 if band.high is None else band.high)


def test_a_rig_that_may_be_top_heavy_stays_put_within_no_bound() -> None:
    band = known(pivot=0.5005).hold_rad
    assert band.high is None
    assert band.low == pytest.approx(0.0, abs=radians(0.5))
