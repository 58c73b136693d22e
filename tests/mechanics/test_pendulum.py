import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from mechanics.rigid_body import Solid, random_tree, simulated_drop
from scipy import special

from riglog.mechanics.mass_properties import (
    Composite,
    composite,
    rotate_tensor,
    rotation,
    shape_inertia,
)
from riglog.mechanics.pendulum import drop_time, reaches

if TYPE_CHECKING:
    from riglog.mechanics.arrays import FloatArray

STANDARD_GRAVITY = 9.80665
K_POST = 0.34  # [m], the 17 kg post rig of the trade facts below

heights = st.floats(1e-4, 0.3)
gyrations = st.floats(0.05, 0.6)
leans = st.floats(0.2, 3.0)
shares = st.floats(-0.9, 0.9)


def test_drop_from_horizontal_has_the_closed_form() -> None:
    # Derived: t = K(1/2) sqrt((k^2 + d^2) / (g d)), and the same simulated by MuJoCo 4.0.0
    # (hinge, RK4, 1e-5 s).
    time = drop_time([0.02, 0.03, 0.05], np.square([0.35, 0.35, 0.3]))
    assert np.allclose(time, [1.46766801, 1.200781082, 0.805290821], rtol=0.0, atol=6e-10)


def test_rod_pivoted_at_its_end_drops_in_its_time() -> None:
    # Derived, simulated by MuJoCo 4.0.0: a uniform rod of 1 m.
    assert math.isclose(drop_time(0.5, 1.0 / 12.0), 0.483416261135, abs_tol=1e-12)


def test_stop_line_may_stand_anywhere_on_the_way() -> None:
    # Derived by direct quadrature; sqrt(L / g) = 1 s. Abramowitz & Stegun 17.4, DLMF 22.19(i).
    release = np.radians([90.0, 90.0, 60.0, 120.0, 100.0])
    stop = np.radians([45.0, 10.0, 0.0, 0.0, -20.0])
    expected = [1.266542328378, 1.730346297878, 1.685750354813, 2.1565156475, 2.165423642681]
    # A point mass, so that (k^2 + d^2) / d is d.
    time = drop_time(STANDARD_GRAVITY, 0.0, release_rad=release, stop_rad=stop)
    assert np.allclose(time, expected, rtol=0.0, atol=6e-12)


def test_golden_marks_give_their_times() -> None:
    # Derived by MuJoCo 4.0.0: 20 kg, k = 0.360 m, center of gravity 20 mm below mark 0.
    marks = np.array([0.0, 5.0, 10.0, 20.0, 30.0, 40.0]) / 1000.0
    times = [1.5094667916, 1.351276, 1.234842343, 1.0722691384, 0.96235053317, 0.88215189593]
    assert np.allclose(drop_time(marks + 0.02, 0.36**2), times, rtol=0.0, atol=1e-9)


@given(heights, gyrations, leans, shares, st.floats(-0.5, 0.5))
def test_one_symmetric_integral_is_the_two_of_the_textbook(
    d: float, k: float, release: float, share: float, ahead: float
) -> None:
    x, stop = ahead * d, share * release
    assume(reaches(d, x_m=x, release_rad=release, stop_rad=stop))
    rest, r = math.atan2(x, d), math.hypot(x, d)
    start, end = math.sin((release - rest) / 2.0), math.sin((stop - rest) / 2.0)
    assume(abs(end / start) < 0.99)  # beyond, the arc sine of the textbook form loses digits
    amplitude = math.asin(end / start)
    textbook = math.sqrt((k * k + r * r) / (STANDARD_GRAVITY * r)) * (
        special.ellipk(start**2) - special.ellipkinc(amplitude, start**2)
    )
    time = drop_time(d, k * k, x_m=x, release_rad=release, stop_rad=stop)
    assert math.isclose(time, textbook, rel_tol=1e-11)


@pytest.mark.parametrize("seed", range(50))
def test_random_trees_drop_as_the_rigid_body_engine_says(seed: int) -> None:
    predicted, simulated = predicted_and_simulated(seed)
    assert math.isclose(predicted, simulated, rel_tol=1e-9)


def predicted_and_simulated(seed: int) -> tuple[float, float]:
    """Drop time of a random tree [s], by the formulas and by the engine."""
    rng = np.random.default_rng(seed)
    solids = random_tree(rng)
    mass, cg, tensor = _mass_properties(solids)
    height = rng.uniform(0.004, 0.08)
    ahead, nose = rng.uniform(-0.2, 0.2) * height, int(rng.choice([-1, 1]))
    release, stop = rng.uniform(1.0, 2.2), rng.uniform(-0.3, 0.4)
    simulated = simulated_drop(solids, (cg[0] - ahead, cg[2] + height), nose * release, nose * stop)
    predicted = drop_time(
        height, tensor[1, 1] / mass, x_m=ahead, release_rad=release, stop_rad=stop, nose=nose
    )
    return float(predicted), simulated


def _mass_properties(solids: list[Solid]) -> Composite:
    turns: list[FloatArray] = []
    origins: list[FloatArray] = []
    masses, centers, tensors = [], [], []
    for solid in solids:
        turn, origin = np.eye(3), np.zeros(3)
        if solid.parent >= 0:
            turn, origin = turns[solid.parent], origins[solid.parent]
        origins.append(origin + turn @ solid.offset)
        turns.append(turn @ rotation(*solid.turn))
        masses.append(solid.mass)
        centers.append(origins[-1] + turns[-1] @ solid.center)
        tensors.append(rotate_tensor(turns[-1], shape_inertia(solid.shape, solid.size, solid.mass)))
    return composite(masses, centers, tensors)


@given(heights, gyrations, st.floats(0.1, 10.0))
def test_twice_as_large_a_rig_drops_slower_by_the_root_of_two(
    d: float, k: float, scale: float
) -> None:
    larger = drop_time(scale * d, (scale * k) ** 2)
    assert math.isclose(larger, math.sqrt(scale) * drop_time(d, k * k), rel_tol=1e-13)


@given(heights, gyrations, st.floats(1.0, 20.0))
def test_stronger_gravity_shortens_the_drop_by_its_root(d: float, k: float, gravity: float) -> None:
    time = drop_time(d, k * k, gravity=gravity) * math.sqrt(gravity / STANDARD_GRAVITY)
    assert math.isclose(time, drop_time(d, k * k), rel_tol=1e-13)


def test_latitude_and_altitude_hardly_change_a_drop() -> None:
    # Derived from WGS 84 normal gravity (equator 9.7803253359, pole 9.8321849379 m/s^2, as the
    # Somigliana formula gives them) and the free-air gradient 3.086e-6 /s^2.
    pole, equator = 9.8321849379, 9.7803253359
    ratio = drop_time(0.0045, 0.1156, gravity=equator) / drop_time(0.0045, 0.1156, gravity=pole)
    assert math.isclose(ratio, 1.002647, abs_tol=1e-6)
    high = drop_time(0.0045, 0.1156, gravity=STANDARD_GRAVITY - 1000.0 * 3.086e-6)
    assert math.isclose(high / drop_time(0.0045, 0.1156) - 1.0, 0.0001574, abs_tol=1e-6)


@given(heights, gyrations, st.floats(-0.3, 0.3), leans)
def test_nose_up_is_the_mirror_image_of_nose_down(
    d: float, k: float, ahead: float, release: float
) -> None:
    x = ahead * d
    assume(reaches(d, x_m=x, release_rad=release))
    down = drop_time(d, k * k, x_m=x, release_rad=release, nose=1)
    assert down == drop_time(d, k * k, x_m=-x, release_rad=release, nose=-1)


@given(heights, gyrations, st.floats(0.001, 0.3))
def test_a_center_of_gravity_forward_makes_the_nose_down_drop_the_longer_one(
    d: float, k: float, ahead: float
) -> None:
    down = drop_time(d, k * k, x_m=ahead * d, nose=1)
    assert down > drop_time(d, k * k, x_m=ahead * d, nose=-1)


def test_the_mean_of_both_drops_is_nearly_free_of_a_fore_aft_error() -> None:
    both = drop_time(0.0045, K_POST**2, x_m=0.0005, nose=[1, -1])
    trimmed = drop_time(0.0045, K_POST**2)
    assert abs(both[0] - trimmed) > 0.05
    assert abs(both.mean() - trimmed) < 0.005


def test_a_top_heavy_rig_still_drops_where_its_center_of_gravity_lies_behind() -> None:
    # Let go at 30 degrees nose down, with the center of gravity 5 mm behind and 1 mm above.
    assert reaches(-0.001, x_m=-0.005, release_rad=math.radians(30.0))
    behind = drop_time(-0.001, 0.04, x_m=-0.005, release_rad=math.radians(30.0))
    # Turned by its rest angle it is a trimmed rig let go and stopped at other angles.
    r, rest = math.hypot(0.001, 0.005), math.atan2(-0.005, -0.001)
    turned = drop_time(r, 0.04, release_rad=math.radians(30.0) - rest, stop_rad=-rest)
    assert math.isclose(behind, turned, rel_tol=1e-14)


@pytest.mark.parametrize(
    ("d", "x", "release"),
    [
        (0.0, 0.0, math.pi / 2),  # neutral
        (-0.001, 0.0, math.pi / 2),  # top heavy
        (0.001, 0.0011, math.pi / 2),  # rests beyond half way to the release
        (-0.001, -0.005, math.pi / 2),  # falls away from horizontal
        (0.001, 0.0, 0.0),  # not tilted at all
        (math.nan, 0.0, math.pi / 2),
        (0.001, math.nan, math.pi / 2),
    ],
)
def test_a_rig_that_does_not_pass_the_stop_line_is_known_and_refused(
    d: float, x: float, release: float
) -> None:
    assert not reaches(d, x_m=x, release_rad=release)
    with pytest.raises(ValueError, match="does not pass"):
        drop_time(d, 0.1, x_m=x, release_rad=release)


def test_from_the_other_side_it_passes() -> None:
    assert reaches(0.001, x_m=0.0011, nose=[1, -1]).tolist() == [False, True]
    assert reaches(0.001, x_m=-0.0011, nose=[1, -1]).tolist() == [True, False]


def test_one_that_does_not_pass_is_told_from_those_that_do() -> None:
    d = np.array([0.004, -0.001, 0.001])
    assert reaches(d).tolist() == [True, False, True]
    with pytest.raises(ValueError, match="does not pass"):
        drop_time(d, 0.1)


@pytest.mark.parametrize(("k2", "gravity"), [(-0.1, 9.8), (0.1, 0.0), (math.nan, 9.8)])
def test_impossible_inertia_and_gravity_are_refused(k2: float, gravity: float) -> None:
    with pytest.raises(ValueError, match="negative"):
        drop_time(0.004, k2, gravity=gravity)


def test_scalars_stay_scalars_and_arrays_broadcast() -> None:
    assert isinstance(drop_time(0.0045, 0.1), float)
    times = drop_time(np.full((4, 1), 0.0045), np.full(3, 0.1), x_m=[0.0, 1e-4, -1e-4])
    assert times.shape == (4, 3)
    assert times[2, 1] == drop_time(0.0045, 0.1, x_m=1e-4)


# Common practice, no source: what operators know about a 17 kg post rig, k about 0.34 m.


def test_about_three_seconds_is_four_and_a_half_millimeters() -> None:
    assert round(float(drop_time(0.0045, K_POST**2)), 1) == 3.0
    assert round(float(drop_time(0.0055, K_POST**2)), 1) == 2.7
    assert round(float(drop_time(0.0035, K_POST**2)), 1) == 3.4


def test_raising_the_pivot_shortens_the_drop() -> None:
    times = drop_time(np.linspace(0.0005, 0.3, 500), K_POST**2)
    assert np.all(np.diff(times) < 0.0)


def test_lowering_the_pivot_goes_through_neutral_to_top_heavy() -> None:
    passes = reaches(np.array([0.002, 0.001, 0.0, -0.001]))
    assert passes.tolist() == [True, True, False, False]
    assert drop_time(1e-6, K_POST**2) > 100.0


def test_near_neutral_the_same_move_changes_the_drop_far_more() -> None:
    change = -np.diff(drop_time(np.array([0.0016, 0.0026, 0.0101, 0.0111]), K_POST**2))
    assert change[0] > 10.0 * change[2]
