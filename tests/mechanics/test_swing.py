from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from mechanics.dying_swings import dying_swings
from scipy.special import sici  # type: ignore[import-untyped]  # scipy ships no types

from riglog.mechanics.pendulum import drop_time
from riglog.mechanics.swing import (
    DROP_PER_PERIOD,
    amplitude_ratio,
    friction_of_decay,
    mean_amplitude_ratio,
)

if TYPE_CHECKING:
    import numpy.typing as npt

    from riglog.mechanics.arrays import FloatArray


def small_swing_period(d: npt.ArrayLike, k2: npt.ArrayLike, gravity: float = 9.80665) -> FloatArray:
    """By the drop from horizontal, as a trace's swings tell a drop."""
    return drop_time(d, k2, gravity=gravity) / DROP_PER_PERIOD


# Derived three ways (arithmetic-geometric mean, another library's K, quadrature), anchored on
# the OEIS values below.
RATIOS = [
    1.001907188143, 1.007669025792, 1.017408797596, 1.03134051913, 1.049782960623,
    1.073182007149, 1.102144909639, 1.137492559924, 1.180340599016, 1.232229196738,
    1.295339998877, 1.372880500618, 1.469819325894, 1.594446101177, 1.762203729504,
    2.007507401244, 2.439362719674,
]  # fmt: skip


@pytest.mark.parametrize(
    ("amplitude_deg", "ratio"),
    # OEIS A129934, A130035, A130037, comments citing Landau & Lifshitz, Mechanics.
    [(90.0, 1.180340599), (60.0, 1.073182007), (120.0, 1.372880501)],
)
def test_large_swings_take_longer(amplitude_deg: float, ratio: float) -> None:
    assert math.isclose(amplitude_ratio(math.radians(amplitude_deg)), ratio, abs_tol=6e-10)


def test_table_of_large_swings() -> None:
    amplitudes = np.radians(np.arange(10.0, 171.0, 10.0))
    assert np.allclose(amplitude_ratio(amplitudes), RATIOS, rtol=0.0, atol=6e-12)


def test_swing_of_72_degrees() -> None:
    # OEIS A310000.
    assert math.isclose(amplitude_ratio(math.radians(72.0)), 1.1086728461990898, rel_tol=1e-14)


def test_amplitudes_where_the_small_swing_is_off_by_so_much() -> None:
    # R. Seth, George Mason University, "pass6": (T - T0) / T, relative to the exact period.
    amplitudes = [0.12649636954594307, 0.4001643197024617, 1.2693297098173169]
    off = 1.0 - 1.0 / amplitude_ratio(amplitudes)
    assert np.allclose(off, [0.001, 0.01, 0.1], rtol=1e-13)


def test_small_swings_follow_the_power_series() -> None:
    # Coefficients of a^2, a^4, a^6, a^8 as in Nelson & Olsson, Am. J. Phys. 54 (1986) 112.
    series = [1.0, 0.0625, 0.0035807291666666665, 0.00023464626736111112, 1.735611567421565e-05]
    a = np.array([0.05, 0.1, 0.2])
    by_series = sum(c * a ** (2 * i) for i, c in enumerate(series))
    assert np.allclose(amplitude_ratio(a), by_series, rtol=2e-13, atol=0.0)


@pytest.mark.parametrize("amplitude", [math.pi, 4.0, math.nan])
def test_a_swing_over_the_top_is_none(amplitude: float) -> None:
    with pytest.raises(ValueError, match="half a turn"):
        amplitude_ratio(amplitude)


def test_simple_pendulum_gives_gravity() -> None:
    # OpenStax University Physics vol. 1, example 15.3: g = 4 pi^2 L / T^2.
    gravity = 9.8281
    assert math.isclose(small_swing_period(0.75, 0.0, gravity=gravity), 1.7357, abs_tol=5e-6)


def test_beam_at_half_a_hertz() -> None:
    # OpenStax University Physics vol. 1, example 15.4: pivoted at its end, L = 1.49 m.
    lengths = np.array([1.485, 1.495])
    period = small_swing_period(lengths / 2.0, lengths**2 / 12.0, gravity=9.8)
    assert period[0] < 2.0 < period[1]


def test_simple_pendulums_of_the_exercises() -> None:
    # OpenStax University Physics vol. 1, section 15.4: 24.8 cm takes 1.00 s, 4.00 m takes 4.01 s,
    # and a period of 2.00000 s that becomes 1.99796 s has gone to g = 9.82002.
    assert math.isclose(small_swing_period(0.248, 0.0, gravity=9.8), 1.0, abs_tol=0.005)
    assert math.isclose(small_swing_period(4.0, 0.0, gravity=9.8), 4.01, abs_tol=0.006)
    there = small_swing_period(1.0, 0.0, gravity=9.82002) / small_swing_period(
        1.0, 0.0, gravity=9.80
    )
    assert math.isclose(2.0 * there, 1.99796, abs_tol=5e-6)


def test_meter_stick_about_one_end() -> None:
    # From memory: Halliday, Resnick & Walker, Fundamentals of Physics, ch. 15.
    assert math.isclose(small_swing_period(0.5, 1.0 / 12.0, gravity=9.8), 1.64, abs_tol=0.005)
    simple = small_swing_period(0.667, 0.0, gravity=9.8)
    assert math.isclose(simple, small_swing_period(0.5, 1.0 / 12.0, gravity=9.8), rel_tol=4e-4)


def test_fastest_swing_of_a_rod() -> None:
    # Halliday, Resnick & Walker, ch. 15 problem 55; the figures are from memory: 2.20 m of rod
    # swing fastest about a point 0.635 m from the middle, in 2.26 s.
    d = np.linspace(0.5, 0.8, 3001)
    periods = small_swing_period(d, 2.2**2 / 12.0, gravity=9.8)
    assert math.isclose(d[periods.argmin()], 0.635, abs_tol=0.0005)
    assert math.isclose(periods.min(), 2.26, abs_tol=0.005)


def test_rod_of_one_point_two_seconds() -> None:
    # R. D. Knight, Physics for Scientists and Engineers, 4th ed., ch. 15 problem 31: 54 cm.
    lengths = np.array([0.535, 0.545])
    periods = small_swing_period(lengths / 2.0, lengths**2 / 12.0, gravity=9.8)
    assert periods[0] < 1.2 < periods[1]


def test_two_pivots_give_gravity_without_k() -> None:
    # Bessel's formula for Kater's pendulum, as the virtual-labs procedure states it; the sample
    # numbers are derived.
    h1, h2 = 0.6, 0.2
    t1, t2 = small_swing_period([h1, h2], 0.3**2)
    assert math.isclose(t1, 1.737601417771, abs_tol=5e-12)
    gravity = 8.0 * math.pi**2 / ((t1**2 + t2**2) / (h1 + h2) + (t1**2 - t2**2) / (h1 - h2))
    assert math.isclose(gravity, 9.80665, rel_tol=1e-12)


def test_wheels_hung_from_the_rim_give_their_inertia() -> None:
    # J. K. Moore, Human Control of a Bicycle (PhD, UC Davis 2012), raw data and benchmark
    # parameters in BicycleParameters: mass, distance, period, and the central inertia they gave.
    wheels = np.array(
        [
            (2.02, 0.293, 1.4811273727, 0.149221207336),
            (3.11, 0.29325, 1.36108970039, 0.152391250767),
            (1.58, 0.297, 1.45115377659, 0.106185287785),
            (1.38, 0.2975, 1.39504641486, 0.0764034890242),
            (1.9, 0.3045, 1.49847435147, 0.146642875064),
            (2.57, 0.302, 1.40930922435, 0.148661417202),
        ]
    )
    mass, d, period, inertia = wheels.T
    assert np.allclose(
        small_swing_period(d, inertia / mass, gravity=9.81), period, rtol=1e-9, atol=0.0
    )


def test_measured_bars_swing_as_computed() -> None:
    # M. Coramik & B. Inanc, Phys. Educ. 58 (2023) 055014: uniform bars about (nearly) one end.
    lengths = np.array([0.48, 0.528, 0.576, 0.624, 0.672])
    amplitudes = np.radians([13.8, 15.5, 12.8, 9.4, 9.5])
    measured = [1.139, 1.199, 1.249, 1.3, 1.349]
    small = small_swing_period(lengths / 2.0, lengths**2 / 12.0, gravity=9.8)
    periods = small * amplitude_ratio(amplitudes)
    assert np.allclose(periods, measured, rtol=0.005, atol=0.0)


def test_a_drop_takes_so_much_of_a_period() -> None:
    # Derived from K(1/2) to sixteen digits.
    assert math.isclose(DROP_PER_PERIOD, 0.2950851497540241, rel_tol=1e-15)


# A 17 kg rig of 0.34 m radius of gyration, by how far above its center the pivot stands, friction
# in N m, and degrees of the first swing.
DYING = [(0.0101, 0.02, 25.0), (0.0045, 0.01, 30.0), (0.0045, 0.03, 60.0), (0.0016, 0.004, 20.0)]


@pytest.mark.parametrize(("d_m", "torque_n_m", "first_deg"), DYING)
@pytest.mark.parametrize("swings", [2, 3])
def test_swings_that_die_away_tell_the_friction_that_stopped_them(
    d_m: float, torque_n_m: float, first_deg: float, swings: int
) -> None:
    friction_m = torque_n_m / (17.0 * 9.80665)
    time, last = dying_swings(d_m, 0.34**2, friction_m, math.radians(first_deg), swings)
    told = friction_of_decay(math.radians(first_deg), last, swings)
    assert math.isclose(told, friction_m / d_m, rel_tol=3e-3)
    # Friction takes away amplitude, and the swing is as long as one of that amplitude.
    ratio = mean_amplitude_ratio(math.radians(first_deg), last)
    period = small_swing_period(d_m, 0.34**2) * ratio
    assert math.isclose(time / swings, period, rel_tol=2e-3)


def test_small_swings_lose_evenly() -> None:
    assert math.isclose(friction_of_decay(0.02, 0.01, 5), 0.01 / 20, rel_tol=1e-4)


@given(st.floats(0.0, 3.1), st.floats(0.0, 3.1))
def test_the_loss_is_that_of_the_sine_integral(one: float, other: float) -> None:
    last, first = sorted((one, other))
    lost = sici(first)[0] - sici(last)[0]
    assert math.isclose(friction_of_decay(first, last, 1), lost / 4, rel_tol=1e-9, abs_tol=1e-12)


@pytest.mark.parametrize(("first", "last", "swings"), [(0.1, 0.2, 3), (0.2, 0.1, 0), (3.2, 0.1, 1)])
def test_swings_that_grow_or_were_not_swung_tell_nothing(
    first: float, last: float, swings: int
) -> None:
    with pytest.raises(ValueError, match="swing"):
        friction_of_decay(first, last, swings)
