import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from mechanics.rigid_body import mass_matrix, random_tree

from riglog.mechanics.mass_properties import (
    Composite,
    composite,
    composite_gradient,
    parallel_axis_shift,
    rotate_tensor,
    rotation,
    shape_inertia,
    tensor_of_six,
)

angles = st.floats(-7.0, 7.0)


def random_parts(seed: int, n: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Masses, centers and tensors of solid boxes turned at random."""
    rng = np.random.default_rng(seed)
    mass, center = rng.uniform(0.1, 5.0, n), rng.uniform(-0.4, 0.4, (n, 3))
    turn = rotation("x", rng.uniform(-3, 3, n)) @ rotation("z", rng.uniform(-3, 3, n))
    return (
        mass,
        center,
        rotate_tensor(turn, shape_inertia("box", rng.uniform(0, 0.3, (n, 3)), mass)),
    )


def test_box() -> None:
    # From memory: handbook formula m (b^2 + c^2) / 12 (Beer & Johnston, Meriam).
    tensor = shape_inertia("box", [0.15, 0.1, 0.2], 2.4)
    assert np.allclose(tensor, np.diag([0.01, 0.0125, 0.0065]), rtol=1e-9, atol=0.0)


@pytest.mark.parametrize("axis", ["x", "y", "z"])
def test_cylinder(axis: str) -> None:
    # BicycleParameters, inertia.py: Ix = m/2 r^2 about the axis, Iy = m/12 (3 r^2 + l^2) across.
    along = "xyz".index(axis)
    size = np.full(3, 0.06)
    size[along] = 0.24
    expected = np.full(3, 0.009045)
    expected[along] = 0.00081
    tensor = shape_inertia(f"cylinder-{axis}", size, 1.8)  # type: ignore[arg-type]
    assert np.allclose(tensor, np.diag(expected), rtol=1e-9, atol=0.0)


def test_tube_is_a_cylinder_less_its_bore() -> None:
    # BicycleParameters, inertia.py, tube_inertia: ro 30 mm, ri 25 mm, length 400 mm, 0.9 kg.
    outer, inner = 0.9 * np.array([30.0**2, -(25.0**2)]) / (30.0**2 - 25.0**2)
    solids = [
        shape_inertia("cylinder-z", [0.06, 0.06, 0.4], outer),
        shape_inertia("cylinder-z", [0.05, 0.05, 0.4], inner),
    ]
    total, _, tensor = composite([outer, inner], np.zeros((2, 3)), solids)
    assert math.isclose(total, 0.9)
    assert np.allclose(tensor, np.diag([0.012343125, 0.012343125, 0.00068625]), rtol=1e-9, atol=0.0)


def test_sphere_rod_and_thin_ring() -> None:
    # From memory: standard table (OpenStax University Physics vol. 1, figure 10.20).
    mass, radius = 1.1, 0.04
    sphere = shape_inertia("sphere", [0.08, 0.08, 0.08], mass)
    assert np.allclose(sphere, 0.000704 * np.eye(3), rtol=1e-9, atol=0.0)
    rod = shape_inertia("box", [0.5, 0.0, 0.0], mass)
    assert math.isclose(rod[1, 1], 0.02291666666666667, rel_tol=1e-12)
    around = np.arange(8) * math.pi / 4.0
    beads = radius * np.stack([np.cos(around), np.sin(around), 0.0 * around], axis=-1)
    ring = composite(np.full(8, mass / 8.0), beads, np.zeros((8, 3, 3))).inertia_kg_m2
    assert np.allclose(np.diag(ring), [0.00088, 0.00088, 0.00176], rtol=1e-12, atol=0.0)
    disc = shape_inertia("cylinder-z", [0.08, 0.08, 0.0], mass)
    assert np.allclose(np.diag(disc), [0.00044, 0.00044, 0.00088], rtol=1e-12, atol=0.0)


def test_point_and_unknown_shape() -> None:
    assert not shape_inertia("point", [0.3, 0.2, 0.1], 2.0).any()
    with pytest.raises(ValueError, match="no shape is called 'egg'"):
        shape_inertia("egg", [0.1, 0.1, 0.1], 1.0)  # type: ignore[arg-type]


def test_child_on_a_merry_go_round() -> None:
    # OpenStax University Physics vol. 1, example 10.11: 1025 kg m^2 about the axle.
    disc = shape_inertia("cylinder-z", [4.0, 4.0, 0.0], 500.0)
    child = parallel_axis_shift(25.0, [1.0, 0.0, 0.0])
    assert math.isclose((disc + child)[2, 2], 1025.0, abs_tol=1e-9)


def test_rod_with_a_sphere() -> None:
    # OpenStax University Physics vol. 1, example 10.12: a rod of 0.5 m, 2 kg from -0.5 to 0 and a
    # sphere of 0.2 m radius, 1 kg: 0.673 kg m^2 about the far end, 0.223 about the junction.
    masses, centers = [2.0, 1.0], np.array([[-0.25, 0.0, 0.0], [0.2, 0.0, 0.0]])
    solids = [
        shape_inertia("box", [0.5, 0.0, 0.0], 2.0),
        shape_inertia("sphere", [0.4, 0.4, 0.4], 1.0),
    ]
    total, cg, tensor = composite(masses, centers, solids)
    far, junction = (tensor + parallel_axis_shift(total, cg - [x, 0.0, 0.0]) for x in (-0.5, 0.0))
    assert math.isclose(far[1, 1], 0.673, abs_tol=0.0005)
    assert math.isclose(junction[1, 1], 0.223, abs_tol=0.0005)


def test_rod_about_a_third() -> None:
    # OpenStax University Physics vol. 1, section 10.5, answer: 7/36 m L^2.
    about = shape_inertia("box", [1.0, 0.0, 0.0], 1.0) + parallel_axis_shift(1.0, [1 / 3, 0, 0])
    assert math.isclose(about[1, 1], 7.0 / 36.0, rel_tol=1e-15)


def test_torsion_constant_of_a_rod() -> None:
    # OpenStax University Physics vol. 1, example 15.5: I (2 pi / T)^2 = 4.73 N m for 0.30 m,
    # 4.00 kg and 0.50 s; the printed figure is a truncation of 4.737.
    inertia = shape_inertia("box", [0.3, 0.0, 0.0], 4.0)[2, 2]
    assert math.isclose(inertia * (2.0 * math.pi / 0.5) ** 2, 4.73, abs_tol=0.015)


def test_cube_about_a_corner() -> None:
    # J. Branson, UCSD Physics 110B notes, nodes 26 and 28: 2/3 and -1/4 M s^2, principal moments
    # 1/6 about the diagonal and 11/12 twice.
    tensor = shape_inertia("box", [1, 1, 1], 1.0) + parallel_axis_shift(1.0, [0.5, 0.5, 0.5])
    expected = np.full((3, 3), -0.25) + np.diag([0.25 + 2 / 3] * 3)
    assert np.allclose(tensor, expected, rtol=0.0, atol=1e-15)
    moments, axes = np.linalg.eigh(tensor)
    assert np.allclose(moments, [1 / 6, 11 / 12, 11 / 12], rtol=0.0, atol=1e-14)
    assert np.allclose(abs(axes[:, 0]), 0.5773502691896258, rtol=0.0, atol=1e-14)


def test_earth_and_moon() -> None:
    # OpenStax University Physics vol. 1, example 9.16; the book rounds 4.652e6 m to 4.64e6.
    centers = [[0.0, 0.0, 0.0], [3.82e8, 0.0, 0.0]]
    cg = composite([5.97e24, 7.36e22], centers, np.zeros((2, 3, 3))).cg_m
    assert math.isclose(cg[0], 4.64e6, rel_tol=0.003)


def test_tensor_of_six_is_symmetric_in_the_order_of_a_document() -> None:
    expected = [[1, 4, 5], [4, 2, 6], [5, 6, 3]]
    assert tensor_of_six([1.0, 2.0, 3.0, 4.0, 5.0, 6.0]).tolist() == expected


@pytest.mark.parametrize(
    ("axis", "turned"),
    [("x", [[1, 0, 0], [0, 0, 1], [0, -1, 0]]), ("z", [[0, 1, 0], [-1, 0, 0], [0, 0, 1]]),
     ("y", [[0, 0, -1], [0, 1, 0], [1, 0, 0]])],
)  # fmt: skip
def test_turns_are_right_handed(axis: str, turned: list[list[int]]) -> None:
    # Where x, y and z go in a quarter turn.
    quarter = rotation(axis, math.pi / 2.0)  # type: ignore[arg-type]
    assert np.allclose(quarter.T, turned, rtol=0.0, atol=1e-15)


def test_leaning_nose_down_is_a_positive_turn_about_y() -> None:
    nose = rotation("y", 0.1) @ [1.0, 0.0, 0.0]
    assert nose[2] < 0.0


@given(angles, angles, angles, st.integers(0, 1000))
def test_the_composite_does_not_care_which_frame_it_is_seen_in(
    a: float, b: float, c: float, seed: int
) -> None:
    mass, center, tensors = random_parts(seed, 5)
    turn = rotation("x", a) @ rotation("y", b) @ rotation("z", c)
    here = composite(mass, center, tensors)
    there = composite(mass, center @ turn.T + [1.0, -2.0, 3.0], rotate_tensor(turn, tensors))
    assert math.isclose(there.mass_kg, here.mass_kg)
    assert np.allclose(there.cg_m, turn @ here.cg_m + [1.0, -2.0, 3.0], rtol=0.0, atol=1e-13)
    assert np.allclose(
        there.inertia_kg_m2, rotate_tensor(turn, here.inertia_kg_m2), rtol=0.0, atol=1e-12
    )


@given(st.integers(0, 1000))
def test_parts_may_be_put_together_in_any_groups(seed: int) -> None:
    parts = random_parts(seed, 6)
    groups = [composite(*(field[part] for field in parts)) for part in (slice(2), slice(2, 6))]
    nested = composite(*(np.stack(fields) for fields in zip(*groups, strict=True)))
    for one, other in zip(nested, composite(*parts), strict=True):
        assert np.allclose(one, other, rtol=1e-12, atol=1e-14)


@pytest.mark.parametrize("seed", range(20))
def test_composites_of_trees_are_those_of_the_rigid_body_engine(seed: int) -> None:
    solids = random_tree(np.random.default_rng(seed))
    turns, origins, parts = [], [], []
    for solid in solids:
        on = solid.parent
        turn, origin = (turns[on], origins[on]) if on >= 0 else (np.eye(3), np.zeros(3))
        origins.append(origin + turn @ solid.offset)
        turns.append(turn @ rotation(*solid.turn))  # type: ignore[arg-type]
        own = shape_inertia(solid.shape, solid.size, solid.mass)  # type: ignore[arg-type]
        center = origins[-1] + turns[-1] @ solid.center
        parts.append((solid.mass, center, rotate_tensor(turns[-1], own)))
    total, cg, tensor = composite(*(np.stack(fields) for fields in zip(*parts, strict=True)))
    engine = mass_matrix(solids)
    assert np.allclose(engine[:3, :3], total * np.eye(3), rtol=1e-12, atol=1e-12)
    # Moving turns it about the origin as M [c]x does.
    assert np.allclose(engine[3:, :3] @ [1.0, 0.0, 0.0], total * np.cross(cg, [1.0, 0.0, 0.0]))
    about_origin = tensor + parallel_axis_shift(total, cg)
    assert np.allclose(engine[3:, 3:], about_origin, rtol=1e-11, atol=1e-11)


def test_batches_are_the_single_ones() -> None:
    mass, center, tensors = random_parts(3, 12)
    batch = composite(mass.reshape(3, 4), center.reshape(3, 4, 3), tensors.reshape(3, 4, 3, 3))
    last = composite(mass[8:], center[8:], tensors[8:])
    assert [np.shape(field) for field in batch] == [(3,), (3, 3), (3, 3, 3)]
    assert np.allclose(batch.inertia_kg_m2[2], last.inertia_kg_m2, rtol=1e-14)


@pytest.mark.parametrize("masses", [[1.0, -1.0], [0.0, 0.0], [math.nan, 1.0]])
def test_parts_without_mass_make_no_body(masses: list[float]) -> None:
    with pytest.raises(ValueError, match="must be positive"):
        composite(masses, np.zeros((2, 3)), np.zeros((2, 3, 3)))


def _difference(
    part: int, *, mass: float = 0.0, move: list[float] | None = None, scale: float = 0.0
) -> Composite:
    """Central difference of a composite of five parts, by a mass, a move or a log scale."""
    ends = []
    for sign in (-1.0, 1.0):
        masses, centers, tensors = random_parts(8, 5)
        masses[part] += sign * mass
        centers[part] += sign * np.array(move or [0.0, 0.0, 0.0])
        tensors[part] *= math.exp(sign * scale)
        ends.append(composite(masses, centers, tensors))
    return Composite(*(0.5 * (high - low) for low, high in zip(*ends, strict=True)))


def test_gradient_of_a_composite_agrees_with_differences() -> None:
    gradient = composite_gradient(*random_parts(8, 5))
    h = 1e-5
    for part in range(5):
        by_mass = _difference(part, mass=h)
        assert np.allclose(gradient.cg_per_mass[part], by_mass.cg_m / h, atol=1e-9)
        assert np.allclose(gradient.inertia_per_mass[part], by_mass.inertia_kg_m2 / h, atol=1e-9)
        for axis in range(3):
            by_move = _difference(part, move=list(h * np.eye(3)[axis]))
            assert np.allclose(gradient.cg_per_cg[part], by_move.cg_m[axis] / h, atol=1e-9)
            per_move = gradient.inertia_per_cg[part, ..., axis]
            assert np.allclose(per_move, by_move.inertia_kg_m2 / h, atol=1e-9)
        by_scale = _difference(part, scale=h).inertia_kg_m2
        assert np.allclose(gradient.inertia_per_log_scale[part], by_scale / h, atol=1e-9)


def test_gradients_of_batches_have_their_shapes() -> None:
    mass, center, tensors = random_parts(3, 12)
    batch = mass.reshape(3, 4), center.reshape(3, 4, 3), tensors.reshape(3, 4, 3, 3)
    shapes = [np.shape(field) for field in composite_gradient(*batch)]
    assert shapes == [(3, 4, 3), (3, 4), (3, 4, 3, 3), (3, 4, 3, 3, 3), (3, 4, 3, 3)]
