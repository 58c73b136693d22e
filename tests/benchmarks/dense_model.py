"""A build as functions of the scores of its unknowns: what the dense fit compares and predicts.

A score is in standard deviations from what the documents say: mass, own inertia and center of
gravity (x, z) of each component, position of each mount and offset, seating of each part. Nothing
across the rig (y) moves the answer.

Array letters: n parts, t terms of a sum, p unknowns, ``...`` trial vectors of scores.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import quad  # type: ignore[import-untyped]  # scipy ships no types
from scipy.special import ellipk, ndtr, ndtri  # type: ignore[import-untyped]  # scipy ships no types
from simulated_rigs import (
    GRAVITY_M_S2,
    INERTIA_SD,
    POSITION_SD_M,
    RIGGING_SD_M,
)

if TYPE_CHECKING:
    from rig_documents import Family

    from riglog.records import Build, Component, Rig

FloatArray = NDArray[np.float64]
Terms = list[tuple[int, float]]

QUARTER_SWING = float(ellipk(0.5))
# How much higher neutral seems to lie in a drop, per torque over weight against it, and what is
# left of it for a payload's, since the frame is then trimmed the other way.
TORQUE_SHIFT = float(
    quad(lambda a: a * np.sin(a) ** -1.5, 0, np.pi / 2)[0]
    / quad(lambda a: np.sin(a) ** -0.5, 0, np.pi / 2)[0]
)
PULL_SHIFT = TORQUE_SHIFT - float(
    quad(lambda a: (1 - np.cos(a)) * np.sin(a) ** -1.5, 0, np.pi / 2)[0]
    / quad(lambda a: np.sin(a) ** -0.5, 0, np.pi / 2)[0]
)
# Nearer to neutral than this [m], a trial of the search follows the tangent of the drop time.
NEAREST_M = 0.0003


class Unknowns:
    """The scores, each known by a name; asking for a new name adds one."""

    def __init__(self) -> None:
        self._index: dict[Hashable, int] = {}

    def __len__(self) -> int:
        return len(self._index)

    def __getitem__(self, name: Hashable) -> int:
        return self._index.setdefault(name, len(self._index))


class Sums:
    """n sums of t scores, each times its standard deviation, about what the documents say."""

    def __init__(self, at: list[float], terms: list[Terms]) -> None:
        longest = max(len(row) for row in terms)
        padded = [row + [(0, 0.0)] * (longest - len(row)) for row in terms]
        self.at = np.array(at)
        self.index = np.array([[index for index, _ in row] for row in padded])
        self.sd = np.array([[sd for _, sd in row] for row in padded])

    def __call__(self, scores: FloatArray) -> FloatArray:
        """(..., p) scores to (..., n) values."""
        values: FloatArray = self.at + (scores[..., self.index] * self.sd).sum(-1)
        return values


@dataclass(frozen=True, slots=True)
class Model:
    """One build as functions of the scores; n parts."""

    mass: Sums
    weighed: NDArray[np.bool_]
    own: FloatArray
    own_scale: Sums
    x: Sums
    z: Sums
    on_stage: FloatArray
    on_pivot: FloatArray
    seat_x: list[int]
    seat_z: list[int]
    friction_n_m: float
    friction_index: int
    on_head: NDArray[np.bool_]
    up: int
    pivot_x: float
    lean: float

    def friction_m(self, scores: FloatArray) -> FloatArray:
        """(...) friction torque over weight [m]: half-normal, as its score is normal."""
        if not self.friction_n_m:
            return np.zeros(scores.shape[:-1])
        torque = -self.friction_n_m * ndtri(ndtr(-scores[..., self.friction_index]) / 2)
        return np.asarray(torque / (GRAVITY_M_S2 * self.masses(scores).sum(-1)))

    def head_share(self, scores: FloatArray) -> float:
        """Share of the mass that a head keeps level, at one vector of scores."""
        masses = self.masses(scores)
        return float(masses[..., self.on_head].sum() / masses.sum())

    def masses(self, scores: FloatArray) -> FloatArray:
        """(..., n) masses [kg]: a sum where weighed, else its logarithm is one."""
        values = self.mass(scores)
        masses: FloatArray = np.where(self.weighed, values, np.exp(values))
        return masses

    def balance(
        self, scores: FloatArray, pivot: FloatArray, stage: FloatArray | None = None
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Center of gravity before and below the pivot [m], radius of gyration squared [m^2].

        ``pivot`` and ``stage`` are true positions; without ``stage`` the rig is trimmed.
        """
        masses = self.masses(scores)
        shares = masses / masses.sum(-1, keepdims=True)
        seats = RIGGING_SD_M * masses / np.sqrt((masses**2).sum(-1, keepdims=True))
        x, z = self.x(scores), self.z(scores) + self.on_pivot * pivot[..., None]
        rigging_x = (seats * scores[..., self.seat_x]).sum(-1)
        rigging_z = (seats * scores[..., self.seat_z]).sum(-1)
        # Where the guides lean, the axis goes forward as well.
        axis_x, axis_z = self.pivot_x + pivot * np.sin(self.lean), pivot * np.cos(self.lean)
        if stage is None:
            off = (shares * x).sum(-1) + rigging_x - axis_x
            stage = -off / (shares * self.on_stage).sum(-1)
        x = x + self.on_stage * stage[..., None]
        center_x, center_z = (shares * x).sum(-1), (shares * z).sum(-1)
        arms2 = (x - center_x[..., None]) ** 2 + (z - center_z[..., None]) ** 2
        own = self.own * np.exp(self.own_scale(scores))
        k2 = (shares * (own + arms2)).sum(-1)
        return center_x + rigging_x - axis_x, self.up * (axis_z - center_z - rigging_z), k2

    def mark(self, scores: FloatArray, drop_s: float) -> FloatArray:
        """(...) true pivot positions [m] for a drop time, trimmed.

        A carried yoke takes the center of gravity along, by its share of the mass; each round
        leaves that share of the error.
        """
        pivot = np.zeros(scores.shape[:-1])
        for _ in range(8):
            _, d, k2 = self.balance(scores, pivot)
            high = TORQUE_SHIFT * self.friction_m(scores) + height_m(drop_s, k2)
            pivot = pivot + self.up * (high - d) / np.cos(self.lean)
        return pivot


def height_m(drop_s: float, k2: FloatArray) -> FloatArray:
    """Pivot above the center of gravity [m], the lesser root of (k2 + d^2) / (g d) = (T / K)^2."""
    middle = GRAVITY_M_S2 * (drop_s / QUARTER_SWING) ** 2 / 2
    return k2 / (middle + np.sqrt(np.maximum(middle**2 - k2, 0.0)))


def drop_time_s(d: FloatArray, k2: FloatArray) -> FloatArray:
    """Drop time from horizontal of a trimmed rig [s], with a tangent below ``NEAREST_M``."""
    above = np.maximum(d, NEAREST_M)
    time = QUARTER_SWING * np.sqrt((k2 + above**2) / (GRAVITY_M_S2 * above))
    # Near neutral T goes with the root of 1 / d, so its slope is -T / (2 d).
    continued: FloatArray = time * (1 + np.maximum(NEAREST_M - d, 0.0) / (2 * NEAREST_M))
    return continued


# Name, position and standard deviation, and the signs of x and z in the rig's axes.
Leg = tuple[Hashable, tuple[float, float, float], float, tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Path:
    """What lies between the rig's datum and a part's center of gravity, and what moves it."""

    legs: list[Leg]
    moved_by: set[str]
    on_head: bool = False


class Modeler:
    """Builds in the order in which they hung, to models over one set of unknowns."""

    def __init__(
        self, family: Family, rigs: Mapping[str, Rig], components: Mapping[str, Component]
    ) -> None:
        self.unknowns = Unknowns()
        self._family = family
        self._rigs = rigs
        self._components = components
        self._seats: dict[tuple[str, str], dict[tuple[str, ...], int]] = {}
        self._seatings = 0

    def model(self, build: Build, on: str) -> Model:
        """The build on a day; parts that sit where they sat last on that day keep their seats."""
        items = [self._components[part.component] for part in build.parts]
        names = [item.id for item in items]
        paths = [self._path(build, part.id) for part in build.parts]
        seats = self._seated(build, on[:10])
        masses = [self._mass(item) for item in items]
        own = [_own_inertia(item) for item in items]
        return Model(
            mass=Sums([m for m, _ in masses], self._rows("mass", names, [s for _, s in masses])),
            weighed=np.array([item.mass is not None for item in items]),
            own=np.where([path.on_head for path in paths], 0.0, own),
            own_scale=Sums([0.0] * len(items), self._rows("own", names, [INERTIA_SD] * len(items))),
            x=self._positions(paths, 0),
            z=self._positions(paths, 2),
            on_stage=np.array([float("stage-fore-aft" in path.moved_by) for path in paths]),
            on_pivot=np.array([float("pivot" in path.moved_by) for path in paths]),
            seat_x=[self.unknowns["seat x", seat] for seat in seats],
            seat_z=[self.unknowns["seat z", seat] for seat in seats],
            friction_n_m=self._family.friction_n_m,
            friction_index=self.unknowns["friction", build.rig] if self._family.friction_n_m else 0,
            on_head=np.array([path.on_head for path in paths]),
            up=1 if build.mode == "high" else -1,
            pivot_x=self._rigs[build.rig].pivot_at[0],
            lean=self._rigs[build.rig].adjuster("pivot").lean,
        )

    def _mass(self, item: Component) -> tuple[float, float]:
        """Mass as documented [kg] and its standard deviation; logarithms of an unweighed one."""
        if item.mass is not None and item.mass_sd is not None:
            return item.mass, item.mass_sd
        assert self._family.unweighed is not None
        median_kg, sd_log = self._family.unweighed[item.kind]
        return float(np.log(median_kg)), sd_log

    def _rows(self, what: str, names: list[str], sds: list[float]) -> list[Terms]:
        return [[(self.unknowns[what, name], sd)] for name, sd in zip(names, sds, strict=True)]

    def _positions(self, paths: list[Path], axis: int) -> Sums:
        """Positions along one axis, each the sum of what stands between the rig and the part."""
        way = 0 if axis == 0 else 1
        rows = [
            [(self.unknowns[name, axis], sd * signs[way]) for name, _, sd, signs in path.legs]
            for path in paths
        ]
        sums = [sum(leg[axis] * signs[way] for _, leg, _, signs in path.legs) for path in paths]
        return Sums(sums, rows)

    def _path(self, build: Build, part_id: str) -> Path:
        item = self._components[build.part(part_id).component]
        assert item.cg is not None
        assert item.cg_sd is not None
        over = _is_over(build, part_id)
        legs: list[Leg] = [(("cg", item.id), item.cg, item.cg_sd, (1, over))]
        moved_by: set[str] = set()
        on_head = False
        while part_id:
            part = build.part(part_id)
            if part.by is not None:
                # Its own mount is where its datum would be: the way to it is taken off.
                held, back = self._components[part.component], _is_over(build, part_id)
                way = ("mount", held.id, part.by), held.mounts[part.by].at
                legs.append((*way, POSITION_SD_M, (-1, -back)))
            below = _is_over(build, part.on.rpartition(".")[0])
            if part.offset is not None:
                key = ("offset", build.rig, part.id)
                legs.append((key, part.offset, POSITION_SD_M, (1, below)))
            part_id, _, name = part.on.rpartition(".")
            host = self._components[build.part(part_id).component] if part_id else None
            owner = host or self._rigs[build.rig]
            mount = owner.mounts[name]
            if mount.levels:
                # What it carries stays level: it weighs on the axis, however it sits on it.
                legs, moved_by, on_head = [], set(), True
            legs.append((("mount", owner.id, name), mount.at, POSITION_SD_M, (1, below)))
            moved_by.update(mount.moved_by)
        return Path(legs, moved_by, on_head)

    def _seated(self, build: Build, day: str) -> list[int]:
        before = self._seats.get((build.rig, day), {})
        now = {}
        for part in build.parts:
            place = (part.component, *_seat(build, part.id))
            if place not in before:
                self._seatings += 1
            now[place] = before.get(place, self._seatings)
        self._seats[build.rig, day] = now
        return list(now.values())


def _is_over(build: Build, part_id: str) -> int:
    """-1 if a part stands upside down in the rig's axes, by half turns about x, else 1."""
    over = 1
    while part_id:
        part = build.part(part_id)
        over = -over if part.turn else over
        part_id = part.on.rpartition(".")[0]
    return over


def _seat(build: Build, part_id: str) -> list[str]:
    """What a part sits on and how, down to the rig."""
    seat = []
    while part_id:
        part = build.part(part_id)
        seat.append(f"{part.on} {part.by} {part.turn}")
        part_id = part.on.rpartition(".")[0]
    return seat


def _own_inertia(item: Component) -> float:
    """Inertia about the tilt axis through the center of gravity, over the mass [m^2]."""
    assert item.size is not None
    x, y, z = item.size
    return {
        "box": (x * x + z * z) / 12,
        "cylinder-x": x * x / 12 + y * y / 16,
        "cylinder-z": z * z / 12 + y * y / 16,
    }[item.shape]
