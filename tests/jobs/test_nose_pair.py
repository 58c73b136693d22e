"""What two noses tell by themselves, against pendulums let go off trim."""

from __future__ import annotations

import numpy as np
import pytest
from jobs.test_nose import fall_s

from riglog.jobs.nose_pair import Falls, Pair, pair

RADIUS_M, K2_M2 = 0.0045, 0.1156


def told(lean_deg: float, sd_s: float, slip_s: tuple[float, float] = (0.0, 0.0)) -> Pair:
    lean = np.radians(lean_deg)
    x, d = RADIUS_M * np.sin(lean), RADIUS_M * np.cos(lean)
    up, down = (
        fall_s(x, d, K2_M2, nose) + slip for nose, slip in zip(("up", "down"), slip_s, strict=True)
    )
    return pair(Falls(up, sd_s, down, sd_s, np.pi / 2, 0.0), K2_M2, 0.02)


@pytest.mark.parametrize("lean_deg", [-40.0, -10.0, 0.0, 3.0, 25.0, 43.0])
def test_their_quotient_tells_the_lean(lean_deg: float) -> None:
    found = told(lean_deg, 0.02)
    assert np.degrees(found.lean.value) == pytest.approx(lean_deg, abs=1e-3)
    assert found.forward.value == pytest.approx(
        RADIUS_M * np.sin(np.radians(lean_deg)), rel=1e-4, abs=1e-7
    )
    assert not found.apart


@pytest.mark.parametrize("lean_deg", [0.0, 12.0, 30.0, 38.0])
def test_the_bounds_hold_as_often_as_they_say(lean_deg: float) -> None:
    rng, sd = np.random.default_rng(3), 0.05
    held = {"lean": 0, "forward": 0}
    truth = {"lean": np.radians(lean_deg), "forward": RADIUS_M * np.sin(np.radians(lean_deg))}
    for _ in range(600):
        up, down = rng.normal(0.0, sd, 2)
        found = told(lean_deg, sd, (float(up), float(down)))
        for name, known in (("lean", found.lean), ("forward", found.forward)):
            low, high = known.interval()
            held[name] += low <= truth[name] <= high
    assert 0.92 < held["lean"] / 600 < 0.98
    # k^2 is known to 2 % here, and right.
    assert 0.92 < held["forward"] / 600 < 0.99


def test_times_further_apart_than_any_lean_has_leave_it_open_how_far() -> None:
    found = told(30.0, 0.05, (0.0, 2.0))
    assert found.apart
    low, high = found.lean.interval()
    assert 0.0 < low < np.radians(3)
    assert np.radians(40) < high < np.radians(46)
