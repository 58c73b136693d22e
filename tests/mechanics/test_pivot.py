import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.mechanics.friction import drop_time_with_friction
from riglog.mechanics.pendulum import drop_time
from riglog.mechanics.pivot import (
    both_roots,
    has_height,
    height_gradient,
    longest_drop,
    pivot_height,
    shortest_drop,
)

GRAVITY = 9.80665


def random_setups(n: int) -> dict[str, np.ndarray]:
    rng = np.random.default_rng(23)
    release = rng.uniform(0.3, 2.5, n)
    return {
        "x_m": rng.normal(0.0, 5e-4, n),
        "release_rad": release,
        "stop_rad": release * rng.uniform(-0.9, 0.9, n),
        "nose": rng.choice([-1.0, 1.0], n),
        "friction_m": rng.normal(0.0, 2e-4, n),
    }


@given(st.floats(0.05, 0.6), st.floats(1.001, 100.0), st.floats(0.3, 3.0), st.floats(-0.9, 0.9))
def test_height_of_a_trimmed_rig_gives_back_its_time(
    k: float, slower: float, release: float, share: float
) -> None:
    where = {"release_rad": release, "stop_rad": share * release}
    shortest, at = shortest_drop(k * k, **where)
    near, far = both_roots(slower * shortest, k * k, **where)
    assert near == pivot_height(slower * shortest, k * k, **where)
    assert near < at < far
    assert math.isclose(drop_time(near, k * k, **where), slower * shortest, rel_tol=1e-13)
    assert math.isclose(drop_time(far, k * k, **where), slower * shortest, rel_tol=1e-13)


def test_heights_with_offset_and_friction_give_back_their_times() -> None:
    n = 3000
    where = random_setups(n)
    k2 = np.random.default_rng(24).uniform(0.15, 0.4, n) ** 2
    shortest, at = shortest_drop(k2, **where)
    longest = np.minimum(longest_drop(k2, **where), 25.0 * shortest)
    share = np.random.default_rng(25).uniform(1e-4, 0.999, n)
    wanted = shortest + share * (longest - shortest)
    near, far = both_roots(wanted, k2, **where)
    assert np.all(near < at)
    assert np.all(at < far)
    for d in (near, far):
        assert np.allclose(drop_time_with_friction(d, k2, **where), wanted, rtol=1e-12, atol=0.0)


def test_a_far_offset_gives_the_near_root_too() -> None:
    # There the shortest drop may stand below d = k, and both roots with it.
    x = np.linspace(0.02, 0.25, 200)
    shortest, at = shortest_drop(0.09, x_m=x, nose=-1)
    assert at.min() < 0.29
    assert at.max() > 0.3
    near, far = both_roots(1.02 * shortest, 0.09, x_m=x, nose=-1)
    assert np.all(near < at)
    assert np.all(at < far)
    for d in (near, far):
        assert np.allclose(drop_time(d, 0.09, x_m=x, nose=-1), 1.02 * shortest, rtol=1e-12)


def test_shortest_drop_is_at_the_radius_of_gyration() -> None:
    # Derived, Kater: d = k and T = K(1/2) sqrt(2 k / g).
    time, at = shortest_drop(0.35**2)
    assert math.isclose(at, 0.35, abs_tol=1e-5)
    assert math.isclose(time, 0.49535426273072014, rel_tol=1e-9)


def test_shortest_drop_with_offset_and_friction_is_shorter_than_its_neighbors() -> None:
    where = random_setups(300)
    time, at = shortest_drop(0.09, **where)
    for factor in (0.99, 1.01):
        assert np.all(drop_time_with_friction(factor * at, 0.09, **where) > time)


def test_conjugate_heights_have_one_time() -> None:
    # M. Rossi & L. Zaninetti, arXiv:physics/0510010, eqs (1)-(4): h1 h2 = k^2 and h1 + h2 the
    # equivalent length. The sample numbers are derived.
    k, h1, h2 = 0.3, 0.6, 0.15
    near, far = both_roots(drop_time(h1, k * k), k * k)
    assert math.isclose(near, h2, rel_tol=1e-12)
    assert math.isclose(far, h1, rel_tol=1e-12)
    assert math.isclose(near + far, 0.75, rel_tol=1e-12)
    assert math.isclose(drop_time(h1, k * k), drop_time(h2, k * k), abs_tol=1e-14)


def test_a_drop_shorter_than_the_shortest_has_no_height() -> None:
    shortest, _ = shortest_drop(0.09)
    assert has_height(shortest, 0.09)
    assert math.isclose(pivot_height(shortest, 0.09), 0.3, rel_tol=1e-6)
    assert not has_height(0.999 * shortest, 0.09)
    with pytest.raises(ValueError, match="so short a drop"):
        pivot_height(0.999 * shortest, 0.09)
    with pytest.raises(ValueError, match="so short a drop"):
        pivot_height([1.0, 0.999 * shortest], 0.09, x_m=1e-4)


def test_a_drop_longer_than_the_rig_takes_to_turn_round_has_no_height() -> None:
    # With the center of gravity 0.5 mm forward, a nose-down drop turns round at upright where it
    # rests at 45 degrees: T = 2 K(sin^2 22.5) sqrt((k^2 + 2 x^2) / (sqrt 2 g x)).
    x, k2 = 0.0005, 0.34**2
    turning = 2.0 * 1.6335863074578 * math.sqrt((k2 + 2.0 * x * x) / (math.sqrt(2.0) * GRAVITY * x))
    assert math.isclose(longest_drop(k2, x_m=x), turning, rel_tol=1e-6)
    assert has_height(0.999 * turning, k2, x_m=x)
    assert math.isclose(pivot_height(turning * (1.0 - 1e-5), k2, x_m=x), x, rel_tol=1e-3)
    assert not has_height(1.001 * turning, k2, x_m=x)
    with pytest.raises(ValueError, match="so long a drop"):
        pivot_height(1.001 * turning, k2, x_m=x)


def test_friction_that_could_hold_it_bounds_the_longest_drop_too() -> None:
    friction = 1e-4
    longest = longest_drop(0.1, friction_m=friction)
    # It just gets to upright where gravity's work pays for friction: d = f pi / 2.
    just = drop_time_with_friction(friction * math.pi / 2.0 * (1.0 + 1e-12), 0.1, friction)
    assert math.isclose(longest, just, rel_tol=1e-5)
    assert not has_height(1.01 * longest, 0.1, friction_m=friction)


def test_a_trimmed_rig_has_no_longest_drop() -> None:
    assert longest_drop([0.09, 0.1]).tolist() == [math.inf, math.inf]
    # Nor has one dropped from the side away from its center of gravity.
    assert longest_drop(0.09, x_m=1e-3, nose=-1) == math.inf
    assert pivot_height(60.0, 0.09) > 0.0


def test_a_released_rig_may_stand_below_its_center_of_gravity() -> None:
    # Nose up from 30 degrees with the center of gravity forward: it passes upright top heavy.
    where = {"x_m": 0.002, "release_rad": math.radians(30.0), "nose": -1}
    d = pivot_height(4.0, 0.09, **where)
    assert d < 0.0
    assert math.isclose(drop_time(d, 0.09, **where), 4.0, rel_tol=1e-12)


def test_gradient_of_a_trimmed_height_has_its_closed_form() -> None:
    drop, k2 = np.linspace(0.6, 8.0, 20), 0.34**2
    slopes = height_gradient(drop, k2)
    length = GRAVITY * (drop / 1.8540746773013719) ** 2
    d = slopes.d_m
    assert np.allclose(slopes.per_drop, 2.0 * length * d / (drop * (2.0 * d - length)), rtol=1e-11)
    assert np.allclose(slopes.per_k2, 1.0 / (length - 2.0 * d), rtol=1e-11)


@pytest.mark.parametrize("name", ["drop_s", "k2_m2", "x_m", "friction_m", "release_rad"])
def test_gradient_of_a_height_agrees_with_differences(name: str) -> None:
    rng = np.random.default_rng(31)
    n = 100
    at = {
        "drop_s": rng.uniform(1.5, 4.0, n),
        "k2_m2": rng.uniform(0.08, 0.15, n),
        "x_m": rng.uniform(-3e-4, 3e-4, n),
        "friction_m": rng.uniform(-2e-4, 2e-4, n),
        "release_rad": rng.uniform(1.0, 2.0, n),
        "nose": rng.choice([-1.0, 1.0], n),
    }
    step = {"x_m": 1e-6, "friction_m": 1e-6}.get(name, 1e-3)
    points = [pivot_height(**(at | {name: at[name] + i * step})) for i in (-2, -1, 1, 2)]
    slope = (points[0] - 8 * points[1] + 8 * points[2] - points[3]) / (12 * step)
    drop, k2 = at.pop("drop_s"), at.pop("k2_m2")
    field = {"drop_s": "per_drop", "k2_m2": "per_k2", "x_m": "per_x"}.get(name)
    field = field or {"friction_m": "per_friction"}.get(name, "per_release")
    exact = getattr(height_gradient(drop, k2, **at), field)
    assert np.allclose(slope, exact, rtol=1e-6, atol=1e-6 * np.abs(exact).max())


def test_near_neutral_a_height_moves_by_the_friction() -> None:
    # In drops friction acts as a shift of neutral, here by 1.3 of itself.
    slopes = height_gradient([3.0, 5.0, 8.0], 0.34**2)
    assert np.allclose(slopes.per_friction, slopes.per_friction[0], rtol=0.01)
    assert 1.0 < slopes.per_friction[0] < 1.5


def test_at_the_shortest_drop_a_height_has_no_derivative() -> None:
    with pytest.raises(ValueError, match="no derivative"):
        height_gradient(float(drop_time(0.3, 0.09)) * (1.0 - 5e-15), 0.09)


@pytest.mark.parametrize("drop", [0.0, -1.0, math.nan, math.inf])
def test_times_that_are_none_are_refused(drop: float) -> None:
    with pytest.raises(ValueError, match="must be positive"):
        pivot_height(drop, 0.1)
    with pytest.raises(ValueError, match="must be positive"):
        both_roots(drop, 0.1, x_m=1e-4)


@pytest.mark.parametrize(
    ("k2", "where", "message"),
    [
        (0.0, {}, "k2 and gravity"),
        (0.1, {"gravity": 0.0}, "k2 and gravity"),
        (0.1, {"x_m": math.nan}, "k2 and gravity"),
        (0.1, {"release_rad": math.pi}, "half a turn"),
        (0.1, {"release_rad": 1.0, "stop_rad": 1.0}, "half a turn"),
        (0.1, {"release_rad": 1.0, "stop_rad": -1.0}, "half a turn"),
    ],
)
def test_questions_without_sense_are_refused(
    k2: float, where: dict[str, float], message: str
) -> None:
    for ask in (lambda: pivot_height(3.0, k2, **where), lambda: shortest_drop(k2, **where)):
        with pytest.raises(ValueError, match=message):
            ask()


def test_scalars_stay_scalars_and_arrays_broadcast() -> None:
    assert isinstance(pivot_height(3.0, 0.1), float)
    assert isinstance(pivot_height(3.0, 0.1, x_m=1e-4), float)
    assert isinstance(both_roots(3.0, 0.1, x_m=1e-4)[1], float)
    assert isinstance(longest_drop(0.1), float)
    assert isinstance(height_gradient(3.0, 0.1).per_x, float)
    heights = pivot_height(np.full((4, 1), 3.0), np.full(3, 0.1), x_m=[0.0, 1e-4, 2e-4])
    assert heights.shape == (4, 3)
    assert math.isclose(heights[3, 1], pivot_height(3.0, 0.1, x_m=1e-4), rel_tol=1e-12)


def test_a_hard_height_among_easy_ones_is_found() -> None:
    x = np.array([1e-4, 0.05, 9e-3])
    drops = np.array([3.0, 1.001, 0.99]) * [
        1.0, shortest_drop(0.1, x_m=x[1])[0], longest_drop(0.1, x_m=x[2])
    ]  # fmt: skip
    heights = pivot_height(drops, 0.1, x_m=x)
    assert np.allclose(drop_time(heights, 0.1, x_m=x), drops, rtol=1e-12, atol=0.0)


# Common practice, no source: what operators know about a 17 kg post rig, k about 0.34 m.


def test_drop_times_of_a_post_rig_stand_millimeters_apart() -> None:
    heights = 1000.0 * pivot_height([2.0, 3.0, 5.0, 8.0], 0.34**2)
    assert np.round(heights, 1).tolist() == [10.1, 4.5, 1.6, 0.6]
    a_little_higher = drop_time((heights + 1.0) / 1000.0, 0.34**2)
    assert np.round(a_little_higher, 1).tolist() == [1.9, 2.7, 3.9, 5.0]
    a_little_lower = drop_time((heights[:3] - 1.0) / 1000.0, 0.34**2)
    assert np.round(a_little_lower, 1).tolist() == [2.1, 3.4, 8.1]


def test_a_small_rig_stands_lower() -> None:
    # k about 0.20 m: 3.5 mm at 2 s and 1.6 mm at 3 s.
    assert np.round(1000.0 * pivot_height([2.0, 3.0], 0.2**2), 1).tolist() == [3.5, 1.6]


def test_half_a_millimeter_fore_and_aft_costs_more_near_neutral() -> None:
    drops = np.array([2.0, 3.0, 5.0, 8.0])
    heights = pivot_height(drops, 0.34**2)
    down = drop_time(heights, 0.34**2, x_m=5e-4) - drops
    up = drops - drop_time(heights, 0.34**2, x_m=5e-4, nose=-1)
    assert np.round((down + up) / 2.0, 2).tolist()[:2] == [0.02, 0.05]
    assert (round(float(up[2]), 1), round(float(down[2]), 1)) == (0.2, 0.3)
    assert np.allclose([up[3], down[3]], [0.7, 1.7], rtol=0.0, atol=0.06)
