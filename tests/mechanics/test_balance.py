import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from riglog.mechanics.balance import (
    critical_pan_rate,
    height_per_travel,
    hold_band,
    pan_lean,
    principal_axis_tilt,
)
from riglog.mechanics.mass_properties import composite, rotate_tensor, rotation, shape_inertia
from riglog.mechanics.pivot import pivot_height

GRAVITY = 9.80665
POST_RIG = np.diag([17.0 * 0.34**2, 17.0 * 0.34**2, 0.12])  # [kg m^2]


def test_friction_holds_within_its_band() -> None:
    x, d, friction = 0.0003, 0.002, 0.0008
    half, rest = hold_band(d, x, friction), math.atan2(x, d)
    for lean, holds in ((rest + 0.999 * half, True), (rest - 1.001 * half, False)):
        arm = abs(d * math.sin(lean) - x * math.cos(lean))
        assert (arm <= friction) == holds


def test_a_neutral_rig_stays_at_any_lean() -> None:
    assert hold_band([0.0, 1e-4, 1e-3], 0.0, 1e-4).tolist()[:2] == [math.pi, math.pi]
    assert hold_band(0.0, 0.0, 0.0) == math.pi
    assert hold_band(0.001, 0.0, 0.0) == 0.0
    with pytest.raises(ValueError, match="not negative"):
        hold_band(0.001, 0.0, [-1e-4])


@given(st.floats(0.0, 1.0), st.floats(-0.05, 0.05))
def test_what_slides_with_the_pivot_takes_the_center_of_gravity_along(
    carried: float, travel: float
) -> None:
    masses, points = [carried, 16.0], np.zeros((2, 3, 3))
    before = composite(masses, [[0.0, 0.0, 0.48], [0.0, 0.0, 0.47]], points)
    after = composite(masses, [[0.0, 0.0, 0.48 + travel], [0.0, 0.0, 0.47]], points)
    risen = travel - (after.cg_m[2] - before.cg_m[2])
    ratio = height_per_travel(carried, carried + 16.0)
    assert math.isclose(risen, ratio * travel, rel_tol=1e-9, abs_tol=1e-15)


def test_two_weights_on_two_planes_are_a_couple_unbalance() -> None:
    # CEMB/Hofmann UK, "Couple Unbalance" (4 April 2013): 6000 g cm^2 over planes 15 cm apart is
    # 400 g cm on each, 20 g at 20 cm. That m r times the distance is the product of inertia is
    # derived.
    centers = [[20.0, 0.0, 7.5], [-20.0, 0.0, -7.5]]
    tensor = composite([20.0, 20.0], centers, np.zeros((2, 3, 3))).inertia_kg_m2
    assert math.isclose(-tensor[0, 2], 6000.0, abs_tol=1e-9)


@given(st.floats(-0.7, 0.7))
def test_tilt_of_the_principal_axis_is_that_of_a_tilted_body(angle: float) -> None:
    # Leaning nose down by an angle moves the upper end forward, which counts as negative: in a
    # pan the rig rights itself by leaning the other way.
    body = np.diag([2.0, 1.8, 0.3])
    leaning = principal_axis_tilt(rotate_tensor(rotation("y", angle), body))
    assert math.isclose(leaning.xz_rad, -angle, abs_tol=1e-14)
    assert math.isclose(leaning.yz_rad, 0.0, abs_tol=1e-14)
    to_the_right = principal_axis_tilt(rotate_tensor(rotation("x", angle), body))
    assert math.isclose(to_the_right.yz_rad, angle, abs_tol=1e-14)


def test_tilt_of_the_principal_axis_agrees_with_its_eigenvector() -> None:
    box = rotate_tensor(rotation("y", 0.05), shape_inertia("box", [0.2, 0.1, 0.8], 12.0))
    moments, axes = np.linalg.eigh(box)
    axis = axes[:, np.argmin(moments)] * np.sign(axes[2, np.argmin(moments)])
    assert math.isclose(principal_axis_tilt(box).xz_rad, math.atan2(-axis[0], axis[2]))


def test_critical_pan_rate_of_a_post_rig() -> None:
    # Common practice, no source: about 6 rpm at 3 s.
    d = pivot_height(3.0, 0.34**2)
    rate = critical_pan_rate(17.0, d, POST_RIG[0, 0], POST_RIG[2, 2])
    assert round(float(rate) * 60.0 / (2.0 * math.pi)) == 6
    with pytest.raises(ValueError, match="longer than wide"):
        critical_pan_rate(17.0, d, 0.1, 0.1)
    with pytest.raises(ValueError, match="bottom-heavy"):
        critical_pan_rate(17.0, -0.001, 1.9, 0.1)


def _tilted_post_rig(lean: float, side: float) -> np.ndarray:
    return rotate_tensor(rotation("y", lean) @ rotation("x", side), POST_RIG)


def _steady_angle(rate: float, cg: tuple[float, ...], tensor: np.ndarray, axis: str) -> float:
    """Where gravity and centrifugal forces on a turned body balance, in the world's axes."""

    def turning(angle: float) -> float:
        turn = rotation(axis, angle)  # type: ignore[arg-type]
        x, y, z = turn @ np.array(cg)
        spread = rotate_tensor(turn, tensor)
        # Centrifugal torque about y is w^2 int z x dm, about x it is -w^2 int z y dm; the
        # tensor's elements are minus these integrals about the center of gravity.
        if axis == "y":
            return 17.0 * GRAVITY * x + rate**2 * (17.0 * z * x - spread[0, 2])
        return -17.0 * GRAVITY * y - rate**2 * (17.0 * z * y - spread[1, 2])

    return float(brentq(turning, -0.02, 0.02, xtol=1e-14))


@pytest.mark.parametrize("rpm", [1.0, 3.0, 5.0, 8.0, 20.0])
@pytest.mark.parametrize("cg", [(0.4e-5, 0.3e-5, -0.0045), (6e-4, -5e-4, -0.15)])
def test_lean_in_a_pan_balances_gravity_and_centrifugal_forces(
    rpm: float, cg: tuple[float, float, float]
) -> None:
    rate = rpm * 2.0 * math.pi / 60.0
    tensor = _tilted_post_rig(0.002, -0.001)
    lean, side = pan_lean(rate, 17.0, cg, tensor)
    assert math.isclose(lean, _steady_angle(rate, cg, tensor, "y"), rel_tol=2e-3)
    assert math.isclose(side, _steady_angle(rate, cg, tensor, "x"), rel_tol=2e-3)


def test_in_a_fast_pan_the_principal_axis_stands_upright() -> None:
    tensor = _tilted_post_rig(0.03, -0.02)
    lean, side = pan_lean(100.0, 17.0, [0.0, 0.0, -0.0045], tensor)
    tilt = principal_axis_tilt(tensor)
    assert math.isclose(lean, tilt.xz_rad, rel_tol=0.01)
    assert math.isclose(side, -tilt.yz_rad, rel_tol=0.01)
    # That takes the tilt out of the body.
    assert math.isclose(lean, -0.03, rel_tol=0.01)
    assert math.isclose(side, 0.02, rel_tol=0.01)


def test_lean_changes_sign_at_the_critical_pan_rate() -> None:
    tensor, cg = _tilted_post_rig(0.03, 0.0), [0.0, 0.0, -0.0045]
    excess = tensor[0, 0] - tensor[2, 2] + 17.0 * 0.0045**2
    critical = math.sqrt(17.0 * GRAVITY * 0.0045 / excess)
    slow, below, above = pan_lean([0.1 * critical, 0.9 * critical, 1.1 * critical], 17.0, cg,
                                  tensor).lean_rad  # fmt: skip
    naive = -((0.1 * critical) ** 2) * tensor[0, 2] / (17.0 * GRAVITY * 0.0045)
    assert math.isclose(slow, naive, rel_tol=0.02)
    assert below > 10.0 * slow > 0.0 > above


def test_without_a_pan_the_rig_leans_as_at_rest() -> None:
    lean, side = pan_lean(0.0, 17.0, [1e-5, 2e-5, -0.004], POST_RIG)
    assert math.isclose(lean, math.atan2(1e-5, 0.004), rel_tol=1e-5)
    assert math.isclose(side, -2e-5 / 0.004)  # its left side low


def test_a_neutral_rig_at_rest_has_no_steady_lean() -> None:
    with pytest.raises(ValueError, match="no steady lean"):
        pan_lean(0.0, 17.0, [1e-5, 0.0, 0.0], POST_RIG)
