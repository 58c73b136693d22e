import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from riglog.mechanics.arrays import FloatArray
from riglog.mechanics.friction import drop_gradient, drop_time_with_friction
from riglog.mechanics.pendulum import drop_time, reaches

GRAVITY = 9.80665


def integrated_drop(
    d: float,
    k2: float,
    friction: float,
    *,
    x_m: float = 0.0,
    release_rad: float = math.pi / 2,
    stop_rad: float = 0.0,
) -> float:
    """The equation of motion, stepped through time to the stop line."""

    def motion(_time: float, state: FloatArray) -> tuple[float, float]:
        lean, speed = state
        arm = d * math.sin(lean) - x_m * math.cos(lean) - friction
        return speed, -GRAVITY * arm / (k2 + d * d + x_m * x_m)

    def line(_time: float, state: FloatArray) -> float:
        return float(state[0] - stop_rad)

    line.terminal = True  # type: ignore[attr-defined]  # the way that scipy asks for it
    solution = solve_ivp(
        motion,
        (0.0, 200.0),
        (release_rad, 0.0),
        method="DOP853",
        rtol=1e-13,
        atol=1e-14,
        events=line,
    )
    return float(solution.t_events[0][0])


@pytest.mark.parametrize("seed", range(40))
def test_drop_under_a_torque_agrees_with_stepping_through_time(seed: int) -> None:
    rng = np.random.default_rng(seed)
    d, k2 = rng.uniform(0.001, 0.05), rng.uniform(0.15, 0.4) ** 2
    friction, x = d * rng.uniform(-0.5, 0.25), d * rng.uniform(-0.25, 0.25)
    release, stop = rng.uniform(1.2, 2.0), rng.uniform(-0.1, 0.5)
    where = {"x_m": x, "release_rad": release, "stop_rad": stop}
    time = drop_time_with_friction(d, k2, friction, **where)
    stepped = integrated_drop(d, k2, friction, **where)
    assert math.isclose(time, stepped, rel_tol=1e-10)


def test_an_off_balance_payload_is_a_torque_with_a_direction() -> None:
    # 0.01 N m nose down on 12 kg: it holds a nose-down drop back and drives a nose-up one.
    torque = 0.01 / (12.0 * GRAVITY)
    times = [
        drop_time_with_friction(0.004, 0.1, nose * torque, x_m=0.0003, nose=nose)
        for nose in (1, -1)
    ]
    stepped = [integrated_drop(0.004, 0.1, nose * torque, x_m=nose * 0.0003) for nose in (1, -1)]
    assert np.allclose(times, stepped, rtol=1e-10, atol=0.0)
    assert times[0] > drop_time(0.004, 0.1, x_m=0.0003) > times[1]


@given(
    st.floats(1e-4, 0.2), st.floats(0.1, 0.5), st.floats(-0.9, 0.9), st.floats(0.2, 3.0),
    st.floats(-0.9, 0.9),
)  # fmt: skip
def test_without_friction_quadrature_is_the_elliptic_integral(
    d: float, k: float, ahead: float, release: float, share: float
) -> None:
    where = {"x_m": ahead * d, "release_rad": release, "stop_rad": share * release}
    assume(reaches(d, **where))
    # Within 1e-6 of turning round, rounding of the work decides.
    assume(reaches(0.999 * d, **where))
    by_quadrature = drop_gradient(d, k * k, **where).time_s
    assert math.isclose(by_quadrature, drop_time(d, k * k, **where), rel_tol=1e-12)


@pytest.mark.parametrize("closeness", [1e-2, 1e-4, 1e-6, 1e-8])
def test_a_rig_that_barely_gets_to_the_stop_line_is_timed_too(closeness: float) -> None:
    # At rest half way to the release it would turn round just there.
    x = 0.003 * (1.0 - closeness)
    elliptic = drop_time(0.003, 0.1, x_m=x)
    by_quadrature = drop_time_with_friction([0.003, 0.003], 0.1, [0.0, 1e-30], x_m=x)
    assert np.allclose(by_quadrature, elliptic, rtol=1e-10, atol=0.0)


def test_a_rig_that_nearly_stops_on_the_way_is_timed_too() -> None:
    # Top heavy and past horizontal, driven by a torque: it creeps over the top.
    where = {"release_rad": 1.8, "stop_rad": -1.5}
    assert not reaches(-0.002, friction_m=-0.00198, **where)
    time = drop_time_with_friction(-0.002, 0.1, -0.0019869, **where)
    assert time > 80.0
    assert math.isclose(time, integrated_drop(-0.002, 0.1, -0.0019869, **where), rel_tol=1e-7)
    time = drop_time_with_friction(-0.002, 0.1, -0.002, **where)
    assert math.isclose(time, integrated_drop(-0.002, 0.1, -0.002, **where), rel_tol=1e-10)


def test_common_friction_matters_near_neutral() -> None:
    # Common practice, no source: 0.02 N m on 17 kg, k = 0.34 m.
    friction = 0.02 / (17.0 * GRAVITY)
    d = np.array([0.0016246, 0.0006346])
    assert np.round(drop_time(d, 0.34**2), 1).tolist() == [5.0, 8.0]
    with_friction = drop_time_with_friction(d, 0.34**2, friction)
    assert np.round(with_friction, 1).tolist() == [5.2, 9.0]


@given(st.floats(1e-3, 0.05), st.floats(0.001, 0.6))
def test_friction_lengthens_a_drop(d: float, share: float) -> None:
    assert drop_time_with_friction(d, 0.1, share * d) > drop_time(d, 0.1)


def test_friction_scales_with_the_rig() -> None:
    one = drop_time_with_friction(0.004, 0.09, 0.0005, x_m=0.0002)
    large = drop_time_with_friction(0.016, 16 * 0.09, 0.002, x_m=0.0008)
    assert math.isclose(large, 2.0 * one, rel_tol=1e-13)


@pytest.mark.parametrize(
    ("d", "friction"),
    [
        (0.001, 0.0011),  # it stays where it is let go
        (0.001, 0.00064),  # it starts, and stops short of upright: 2/pi is 0.6366
        (0.001, math.nan),
    ],
)
def test_a_rig_that_friction_holds_is_known_and_refused(d: float, friction: float) -> None:
    assert not reaches(d, friction_m=friction)
    with pytest.raises(ValueError, match="does not pass"):
        drop_time_with_friction(d, 0.1, friction)


def test_gradient_of_a_trimmed_rig_has_its_closed_form() -> None:
    d, k2 = np.geomspace(1e-4, 1.0, 30), 0.1
    slopes = drop_gradient(d, k2)
    time = drop_time(d, k2)
    assert np.allclose(slopes.time_s, time, rtol=1e-14, atol=0.0)
    per_d = time * (d / (k2 + d * d) - 0.5 / d)
    assert np.allclose(slopes.per_d, per_d, rtol=1e-12, atol=0.0)
    assert np.allclose(slopes.per_k2, 0.5 * time / (k2 + d * d), rtol=1e-14, atol=0.0)


def test_error_budget_of_the_release_and_the_stop_line() -> None:
    # Derived: relative change per degree at (90 deg, 0), with dK/dm of Abramowitz & Stegun 17.3.
    slopes = drop_gradient(0.0045, 0.34**2)
    degree = math.radians(1.0)
    assert math.isclose(slopes.per_release / slopes.time_s * degree, 0.0039876112, abs_tol=1e-9)
    assert math.isclose(-slopes.per_stop / slopes.time_s * degree, 0.0066563346, abs_tol=1e-9)


def test_speed_at_the_stop_line_is_that_of_the_energy() -> None:
    # Derived, simulated by MuJoCo 4.0.0: a rod of 1 m let go horizontal passes at
    # sqrt(3 g / L). The time to a stop line a little later grows by the way over the speed.
    per_stop = drop_gradient(0.5, 1.0 / 12.0).per_stop
    assert math.isclose(-1.0 / per_stop, 5.42401604, abs_tol=1e-8)
    # OpenStax University Physics vol. 1, example 10.13: a rod of 0.3 m let go at 30 degrees.
    per_stop = drop_gradient(
        0.15, 0.3**2 / 12.0, release_rad=math.radians(30.0), gravity=9.8
    ).per_stop
    assert math.isclose(-1.0 / per_stop, 3.6, abs_tol=0.05)


@pytest.mark.parametrize("name", ["x_m", "friction_m", "release_rad", "stop_rad", "d_m", "k2_m2"])
def test_gradient_agrees_with_differences(name: str) -> None:
    rng = np.random.default_rng(9)
    n = 200
    at = {
        "d_m": rng.uniform(0.003, 0.05, n),
        "k2_m2": rng.uniform(0.02, 0.15, n),
        "x_m": rng.uniform(-5e-4, 5e-4, n),
        "friction_m": rng.uniform(-3e-4, 3e-4, n),
        "release_rad": rng.uniform(1.0, 2.0, n),
        "stop_rad": rng.uniform(-0.2, 0.3, n),
        "nose": rng.choice([-1.0, 1.0], n),
    }
    step = {"x_m": 1e-6, "friction_m": 1e-6, "d_m": 3e-6}.get(name, 3e-4)
    # Five points: what is left of the differences is of the order of step^4.
    points = [drop_time_with_friction(**(at | {name: at[name] + i * step})) for i in (-2, -1, 1, 2)]
    slope = (points[0] - 8 * points[1] + 8 * points[2] - points[3]) / (12 * step)
    d, k2 = at.pop("d_m"), at.pop("k2_m2")
    field = "per_" + name.removesuffix("_rad").removesuffix("_m2").removesuffix("_m")
    exact = getattr(drop_gradient(d, k2, **at), field)
    assert np.allclose(slope, exact, rtol=2e-7, atol=1e-7 * np.abs(exact).max())


def test_many_drops_at_once_are_the_single_ones() -> None:
    rng = np.random.default_rng(4)
    d, friction = rng.uniform(0.002, 0.05, (700, 2)), rng.uniform(-1e-3, 1e-3, 2)
    times = drop_time_with_friction(d, 0.1, friction)
    assert times.shape == (700, 2)
    assert math.isclose(
        times[650, 1], drop_time_with_friction(d[650, 1], 0.1, friction[1]), rel_tol=1e-14
    )
    assert drop_gradient(d, 0.1, friction_m=friction).per_x.shape == (700, 2)
