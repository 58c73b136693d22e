"""Simulated post rigs: what is true of them, what was logged, and the swap that is asked.

The physics is written out here once more, part by part and with elliptic integrals from scipy, so
that it shares nothing with the program. ``swap_cases`` puts the questions.

What the documents leave open is drawn about them with their own standard deviations. Then

- *rigging*: each part has a unit normal vector, drawn anew when it or what it sits on is changed;
  they move the composite center of gravity by 0.25 mm in all, weighed by the parts' masses;
- *setting*: the operator moves a slide until the rig does what is wanted and then reads the scale,
  one step off (standard deviation), anew at each stand. The reading is a multiple of the step;
- *trim*: at each stand the rig hangs upright within 0.5 degrees;
- *on a head*: a payload that a powered head keeps level is a mass on its axis, and was balanced on
  it to 0.5 mm; what is off turns the frame with a constant torque;
- *friction*: a constant torque against the motion, drawn for each rig.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from rig_documents import STEP_M, Documents, Family
from scipy.optimize import brentq  # type: ignore[import-untyped]  # scipy ships no types
from scipy.special import ellipk, ellipkinc  # type: ignore[import-untyped]  # same

from riglog.records import Build, Component, Drop, PivotPair, Rig, Setting, Swing
from riglog.records.stand import Stand

FloatArray = NDArray[np.float64]

GRAVITY_M_S2 = 9.80665
RIGGING_SD_M = 0.00025
POSITION_SD_M = 0.001
INERTIA_SD = 0.15
TRIM_SD_RAD = np.radians(0.5)
STOPWATCH_SD_S = 0.1
REPEATS = 3
ANGLE_SD_RAD = np.radians(1.0)
ON_HEAD_SD_M = 0.0005
DAY = "2026-03-14"
# About x: what y and z become.
HALF_TURN = np.array([1.0, -1.0, -1.0])
# How far off the mean of both each side pivot of a ring stands [m].
CANT_SD_M = 0.0007


@dataclass(slots=True)
class World:
    """Actual figures: masses [kg], own inertias about y [kg m^2], positions [m] in rig axes."""

    mass: dict[str, float] = field(default_factory=dict)
    inertia: dict[str, float] = field(default_factory=dict)
    cg: dict[str, FloatArray] = field(default_factory=dict)
    mounts: dict[tuple[str, str], FloatArray] = field(default_factory=dict)
    offsets: dict[tuple[str, str], FloatArray] = field(default_factory=dict)
    friction_n_m: dict[str, float] = field(default_factory=dict)


def drawn_world(
    rng: np.random.Generator, family: Family, rigs: Sequence[Documents], spread: float = 1.0
) -> World:
    """What is true of the documents' things; with ``spread`` 0, just what the documents say."""

    def near(at: Sequence[float], sd: float) -> FloatArray:
        return np.asarray(at) + spread * sd * rng.standard_normal(3)

    world = World()
    components = {key: item for rig in rigs for key, item in rig.components.items()}
    for key, item in components.items():
        assert item.cg is not None
        assert item.cg_sd is not None
        world.mass[key] = _mass(item, family, spread * rng.standard_normal())
        scale = np.exp(spread * INERTIA_SD * rng.standard_normal())
        world.inertia[key] = world.mass[key] * _inertia_per_mass(item) * scale
        world.cg[key] = near(item.cg, item.cg_sd)
    owners: list[Component | Rig] = [*components.values(), *(rig.rig for rig in rigs)]
    for owner in owners:
        for name, mount in owner.mounts.items():
            world.mounts[owner.id, name] = near(mount.at, POSITION_SD_M)
    for rig in rigs:
        for part in rig.build.parts:
            if part.offset is not None:
                world.offsets[rig.rig.id, part.id] = near(part.offset, POSITION_SD_M)
    for rig in rigs:
        world.friction_n_m[rig.rig.id] = spread * _friction(rng, family)
    return world


def _friction(rng: np.random.Generator, family: Family) -> float:
    """Half-normal, and not beyond three times its scale."""
    while family.friction_n_m:
        drawn = abs(float(rng.standard_normal()))
        if drawn <= 3.0:
            return family.friction_n_m * drawn
    return 0.0


def _mass(item: Component, family: Family, score: float) -> float:
    if item.mass is not None:
        assert item.mass_sd is not None
        return item.mass + item.mass_sd * score
    assert family.unweighed is not None
    median_kg, sd_log = family.unweighed[item.kind]
    return median_kg * float(np.exp(sd_log * score))


def _inertia_per_mass(item: Component) -> float:
    """Inertia about y of the shape, over its mass [m^2]."""
    assert item.size is not None
    along, across, tall = item.size
    if item.shape == "box":
        return (along**2 + tall**2) / 12
    length = along if item.shape == "cylinder-x" else tall
    return (3 * (across / 2) ** 2 + length**2) / 12


@dataclass(frozen=True, slots=True)
class Settings:
    """True positions of the slides [m]."""

    pivot: float = 0.0
    fore_aft: float = 0.0
    side: float = 0.0

    def of(self, adjuster: str) -> FloatArray:
        """How far the adjuster displaces what it moves."""
        return {
            "pivot": np.array([0.0, 0.0, self.pivot]),
            "stage-fore-aft": np.array([self.fore_aft, 0.0, 0.0]),
            "stage-side": np.array([0.0, self.side, 0.0]),
        }[adjuster]


@dataclass(frozen=True, slots=True)
class Hanging:
    """A build as it actually hangs: its parts, and how each was seated."""

    world: World
    rig: Rig
    build: Build
    seating: Mapping[str, FloatArray]
    on_head: FloatArray = field(default_factory=lambda: np.zeros(2))

    def composite(self, at: Settings) -> tuple[float, FloatArray, float]:
        """Mass [kg], center of gravity [m] and inertia about y through it [kg m^2]."""
        names = [part.id for part in self.build.parts]
        masses = np.array([self.world.mass[name] for name in names])
        places = np.array([self.place(name, at) for name in names])
        center = masses @ places / masses.sum()
        arms = places - center
        own = sum(self.world.inertia[name] for name in names if self._head_of(name) is None)
        inertia = own + masses @ (arms[:, 0] ** 2 + arms[:, 2] ** 2)
        seated = np.array([self.seating[name] for name in names])
        rigging = RIGGING_SD_M * masses @ seated / np.sqrt(masses @ masses)
        return float(masses.sum()), center + rigging, float(inertia)

    @property
    def up(self) -> int:
        """Which way along the rig's z is up in the world."""
        return 1 if self.build.mode == "high" else -1

    def axis(self, pivot: float) -> tuple[float, float]:
        """Where the tilt axis is along x and z [m]: the guides lean from up towards forward."""
        lean = self.rig.adjuster("pivot").lean
        return self.rig.pivot_at[0] + pivot * float(np.sin(lean)), pivot * float(np.cos(lean))

    def _head_of(self, name: str) -> tuple[str, str] | None:
        """Component and mount of the head that keeps a part level."""
        while name:
            name, _, mount = self.build.part(name).on.rpartition(".")
            if name and mount == "cradle":
                return name, mount
        return None

    def place(self, name: str, at: Settings) -> FloatArray:
        """Where a part weighs: at its center, or on the axis of its head."""
        head = self._head_of(name)
        datum, ways = self._datum(name if head is None else head[0], at)
        place: FloatArray = datum + ways * (
            self.world.cg[name] if head is None else self.world.mounts[head]
        )
        return place

    def pulled(self) -> FloatArray:
        """What the payload's weight off its head's axis pulls the whole aside, x and y [m]."""
        names = [part.id for part in self.build.parts]
        on = sum(self.world.mass[name] for name in names if self._head_of(name) is not None)
        return np.asarray(self.on_head * on / sum(self.world.mass[name] for name in names))

    def drop_time(self, at: Settings, nose: int = 0) -> float:
        """From horizontal; with ``nose`` 0 the mean of both, which a head's payload cancels in."""
        x, d, k2 = self.pendulum(at)
        weight = GRAVITY_M_S2 * self.composite(at)[0]
        friction = self.world.friction_n_m[self.rig.id] / weight
        pulled = float(self.pulled()[0])
        if not nose:
            x, pulled = x + pulled, 0.0
        against = friction + nose * pulled
        if against:
            return torqued_drop_s(x, d, k2, nose or 1, against)
        return drop_time_s(x, d, k2, nose or 1)

    def _datum(self, name: str, at: Settings) -> tuple[FloatArray, FloatArray]:
        """Where a part's datum is, and the signs of its axes: turns are half ones about x."""
        part = self.build.part(name)
        owner, _, mount = part.on.rpartition(".")
        if owner:
            below, ways = self._datum(owner, at)
            place = below + ways * self.world.mounts[owner, mount]
        else:
            ways = np.ones(3)
            place = self.world.mounts[self.rig.id, mount].copy()
            for adjuster in self.rig.mounts[mount].moved_by:
                place = place + at.of(adjuster)
        place = place + ways * self.world.offsets.get((self.rig.id, name), np.zeros(3))
        own = ways * (HALF_TURN if part.turn else 1.0)
        if part.by is not None:
            place = place - own * self.world.mounts[name, part.by]
        return place, own

    def trimmed(self, pivot: float, x: float = 0.0, y: float = 0.0) -> Settings:
        """Where the stage stands when the center of gravity is ``x`` before the pivot, ``y`` left.

        The center moves in proportion to the stage, so two trials tell.
        """
        _, here, _ = self.composite(Settings(pivot))
        _, there, _ = self.composite(Settings(pivot, 1.0, 1.0))
        share, here = there - here, here[:2] + self.pulled()
        here = here - [self.axis(pivot)[0], 0.0]
        return Settings(pivot, float((x - here[0]) / share[0]), float((y - here[1]) / share[1]))

    def pendulum(self, at: Settings) -> tuple[float, float, float]:
        """Center of gravity before and below the pivot, square of the radius of gyration."""
        mass, center, inertia = self.composite(at)
        x, z = self.axis(at.pivot)
        return float(center[0] - x), self.up * float(z - center[2]), inertia / mass

    def mark(self, drop_s: float) -> float:
        """True pivot position [m] from which the trimmed rig drops in that time."""

        def late(above: float) -> float:
            at = self.trimmed(neutral + self.up * above)
            reached = self.pendulum(at)[1] > 1.2 * friction_m
            return self.drop_time(at) - drop_s if reached else 100.0

        neutral = self.neutral()
        weight = GRAVITY_M_S2 * self.composite(self.trimmed(neutral))[0]
        friction_m = self.world.friction_n_m[self.rig.id] / weight
        reach = np.sqrt(self.pendulum(self.trimmed(neutral))[2])
        return float(neutral + self.up * brentq(late, 1e-5, 0.8 * reach, xtol=1e-10))

    def neutral(self) -> float:
        """Pivot position [m] at the center of gravity, which a carried yoke shifts in turn."""
        _, below, _ = self.pendulum(self.trimmed(0.0))
        _, above, _ = self.pendulum(self.trimmed(1.0))
        return below / (below - above)


def drop_time_s(x: float, d: float, k2: float, nose: int = 1) -> float:
    """Time from horizontal, at rest, to the first pass through upright [s].

    The physical pendulum by elliptic integrals: with psi the angle from hanging straight down and
    sin(psi / 2) = sin(psi0 / 2) sin(phi), phi runs from pi / 2 to phi1. ``nose`` is 1 when the
    nose points down at release, -1 when it points up.
    """
    radius = np.hypot(x, d)
    rest = np.arctan2(nose * x, d)
    half = np.sin((np.pi / 2 - rest) / 2)
    end = np.arcsin(np.sin(-rest / 2) / half)
    swing = ellipk(half**2) - ellipkinc(end, half**2)
    return float(np.sqrt((k2 + radius**2) / (GRAVITY_M_S2 * radius)) * swing)


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(80)


def torqued_drop_s(x: float, d: float, k2: float, nose: int, against: float) -> float:
    """The same with a constant torque over weight ``against`` the drop [m]; inf if it stays.

    By the work done over an angle fallen a = s^2: the speed begins as s does, and so nothing is
    singular (Gauss-Legendre).
    """
    s = np.sqrt(np.pi / 2) * (_NODES + 1) / 2
    fallen = s * s
    work = d * np.sin(fallen) - nose * x * (1 - np.cos(fallen)) - against * fallen
    if np.any(work <= 0):
        return np.inf
    terms = _WEIGHTS * np.sqrt(np.pi / 2) / 2 * 2 * s / np.sqrt(work)
    return float(np.sqrt((k2 + d * d + x * x) / (2 * GRAVITY_M_S2)) * terms.sum())


def half_swing(d: float, k2: float, against: float, first: float) -> tuple[float, float]:
    """Time [s] from rest at an angle to rest on the other side, and the angle there."""

    def left(angle: float) -> float:
        return float(d * (np.cos(angle) - np.cos(first)) - against * (first + angle))

    last = brentq(left, 0.0, first, xtol=1e-12) if against else first
    middle, half = (first - last) / 2, (first + last) / 2
    u = np.pi / 2 * _NODES
    angle = middle + half * np.sin(u)
    speed2 = (
        2
        * GRAVITY_M_S2
        / (k2 + d * d)
        * (d * (np.cos(angle) - np.cos(first)) - against * (first - angle))
    )
    time = np.sum(_WEIGHTS * np.pi / 2 * half * np.cos(u) / np.sqrt(speed2))
    return float(time), float(last)


def read_off(rng: np.random.Generator, position: float) -> float:
    """Reading of a slide that truly stands at ``position``: on the scale, about one step off."""
    steps = np.round(position / STEP_M) + np.arange(-6, 7)
    weights = np.exp(-0.5 * (steps - position / STEP_M) ** 2)
    return float(round(rng.choice(steps, p=weights / weights.sum()) * STEP_M, 6))


@dataclass(frozen=True, slots=True)
class Logged:
    """A drop, the build that it was of, and where that stood in full."""

    drop: Drop
    build: Build
    stand: Stand
    swing: Swing | None = None

    def setting(self, adjuster: str) -> float:
        """What the scale of a slide showed [m]; of two side pivots, their mean."""
        reading = self.stand.settings[adjuster]
        if isinstance(reading, PivotPair):
            return (reading.left + reading.right) / 2
        return reading

    @property
    def mean_s(self) -> float:
        """Mean of the drop times [s]."""
        return sum(self.drop.times) / len(self.drop.times)


class Operator:
    """Sets marks, trims, times drops and reads scales, with all the errors of it."""

    def __init__(
        self, rng: np.random.Generator, hanging: Hanging, version: str, *, swings: bool = False
    ) -> None:
        self.rng = rng
        self.swings = swings
        self.hanging = hanging
        self.version = version
        self.stands: list[Settings] = []
        self._offsets: dict[float, float] = {}

    def position(self, mark_m: float) -> float:
        """Where the pivot truly stands once it is set to a mark: the same at each asking."""
        key = round(mark_m, 7)
        if key not in self._offsets:
            self._offsets[key] = STEP_M * self.rng.standard_normal()
        return mark_m + self._offsets[key]

    def log_near(self, drop_s: float, on: str) -> Logged:
        """Move the pivot until it drops in about that time, read the scale and time it."""
        position = self.hanging.mark(drop_s)
        logged = self._timed(position, self._read_pivot(position), on)
        assert logged is not None
        return logged

    def _read_pivot(self, position: float) -> Setting:
        """One scale, or on a ring both sides', each about one step off."""
        if self.hanging.rig.type == "post":
            return read_off(self.rng, position)
        apart = CANT_SD_M * self.rng.standard_normal()
        left, right = (read_off(self.rng, position + side) for side in (apart, -apart))
        return PivotPair(left=left, right=right)

    def log_at(self, mark_m: float, on: str) -> Logged | None:
        """Set a mark and time it; None where the rig tips over."""
        return self._timed(self.position(mark_m), mark_m, on)

    def stand(self, position: float, mark: Setting) -> tuple[Settings, Stand]:
        """Trim where the pivot stands: where the stage truly is, and what its scales say."""
        _, d, _ = self.hanging.pendulum(self.hanging.trimmed(position))
        x, y = d * np.tan(TRIM_SD_RAD * self.rng.standard_normal(2))
        actual = self.hanging.trimmed(position, x, y)
        readings = {
            "pivot": mark,
            "stage-fore-aft": read_off(self.rng, actual.fore_aft),
            "stage-side": read_off(self.rng, actual.side),
        }
        self.stands.append(actual)
        return actual, Stand(version=self.version, settings=readings)

    def _timed(self, position: float, mark: Setting, on: str) -> Logged | None:
        actual, stand = self.stand(position, mark)
        _x, d, k2 = self.hanging.pendulum(actual)
        if d <= 0:
            return None
        time = self.hanging.drop_time(actual, int(self.rng.choice((-1, 1))))
        if not np.isfinite(time):
            return None
        times = np.abs(time + STOPWATCH_SD_S * self.rng.standard_normal(REPEATS))
        build = self.hanging.build
        drop = Drop(build=build.id, on=on, times=tuple(times.tolist()), settings=stand.settings)
        swing = self._swung(d, k2, actual, on) if self.swings else None
        return Logged(drop, build, stand, swing)

    def _swung(self, d: float, k2: float, at: Settings, on: str) -> Swing:
        """Let go from about 30 degrees, and counted until 10 are left, 12 swings at most."""
        mass = self.hanging.composite(at)[0]
        torque = self.hanging.world.friction_n_m[self.hanging.rig.id]
        against = torque / (GRAVITY_M_S2 * mass)
        loss = max(4 * against / d, 1e-9)
        count = int(np.clip(np.radians(20.0) / loss, 1, 12))
        first = last = np.radians(30.0)
        time = 0.0
        for _ in range(2 * count):
            half, last = half_swing(d, k2, against, last)
            time += half
        read = np.array([first, last]) + ANGLE_SD_RAD * self.rng.standard_normal(2)
        # Nobody writes down that it swung further in the end.
        start, end = float(read[0]), float(np.clip(read[1], 1e-3, read[0]))
        timed = float(time + STOPWATCH_SD_S * self.rng.standard_normal())
        build = self.hanging.build.id
        return Swing(build=build, on=on, swings=count, time=timed, start=start, end=end)


class Truth:
    """What the estimate never sees: the build after the swap as it actually hangs."""

    def __init__(self, hanging: Hanging, operator: Operator) -> None:
        self.hanging = hanging
        self.operator = operator

    def mark(self, drop_s: float) -> float:
        """True pivot position [m] of that drop time, hanging upright."""
        return self.hanging.mark(drop_s)

    def drop(self, mark_m: float) -> Logged | None:
        """A drop test at a mark, on the day of the swap; None where the rig tips over."""
        return self.operator.log_at(mark_m, f"{DAY}T16:00:00+00:00")

    def drop_time(self, position_m: float) -> float:
        """Exact drop time, upright, at a true position; infinite at neutral and below."""
        at = self.hanging.trimmed(position_m)
        return self.hanging.drop_time(at) if self.hanging.pendulum(at)[1] > 0 else np.inf
