"""A second opinion: every unknown of a kit written out by name, and fitted by dense least squares.

It reads the nouns and the design, and shares no code with what it judges: positions by turning
vectors (Rodrigues), drop times by their closed form, and ``scipy.optimize.least_squares`` over all
unknowns, the seating of each part among them. Noise is taken at the drop time that is predicted,
so the fit is repeated until that stands still.

Array letters: n parts, p unknowns, ``...`` trial vectors of unknowns.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import quad  # type: ignore[import-untyped]  # scipy ships no types
from scipy.optimize import least_squares  # type: ignore[import-untyped]
from scipy.special import ellipk, ellipkinc  # type: ignore[import-untyped]

from riglog.records import (
    Adjuster,
    BalancePoint,
    Build,
    Component,
    Drop,
    HangsUpright,
    Lean,
    Mount,
    Part,
    PivotPair,
    Weight,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Mapping, Sequence

    from riglog.estimation.kit import Hung, Kit, Logged

Array = NDArray[np.float64]
GRAVITY = 9.80665
RIGGING_SD = 0.00025
QUARTER = float(ellipk(0.5))
UNWEIGHED = {"lens": (1.6, 0.45), "bracket": (0.2, 0.5), "camera": (3.5, 0.45)}
TIMING = {"stopwatch": 0.1, "counted": 0.3, "sensor": 0.02}


def drop_factor(release: float, stop: float = 0.0) -> float:
    """K(m) - F(phi1 | m), which times sqrt(I / (M g r)) is the drop time."""
    m = np.sin(release / 2) ** 2
    return float(ellipk(m) - ellipkinc(np.arcsin(np.sin(stop / 2) / np.sin(release / 2)), m))


@cache
def friction_shift(release: float = np.pi / 2, stop: float = 0.0) -> float:
    """How much higher neutral seems to lie, per torque over weight.

    Perturbation of a drop by a constant torque, over its perturbation by a change of height.
    """

    def done(angle: float) -> float:
        return float(np.sin(release) * np.sin(angle) - np.cos(release) * (1 - np.cos(angle)))

    way = release - stop
    torque = quad(lambda angle: angle * done(angle) ** -1.5, 0, way)[0]
    return float(torque / quad(lambda angle: done(angle) ** -0.5, 0, way)[0])


def height(time_s: Array | float, factor: float, k2: Array) -> Array:
    """Pivot above the center of gravity [m], the near root."""
    middle = GRAVITY * (np.asarray(time_s) / factor) ** 2 / 2
    return np.asarray(k2 / (middle + np.sqrt(middle**2 - k2)))


def drop_time(depth: Array, factor: float, k2: Array) -> Array:
    return np.asarray(factor * np.sqrt((k2 + depth**2) / (GRAVITY * depth)))


Told = list[tuple[Array, Array]]


class Hangs:
    """What hangs, from masses (..., n), places (..., n, 3) and own inertias along the tilt axis."""

    def __init__(self, masses: Array, tilts: Array, places: Array, own: Array) -> None:
        tilting, places = masses[..., tilts], places[..., tilts, :]
        self.mass = tilting.sum(axis=-1)
        self.weight = masses.sum(axis=-1)
        self.cg = np.einsum("...n,...ni->...i", tilting, places) / self.mass[..., None]
        self.places = places
        arms = places - self.cg[..., None, :]
        apart = arms[..., 0] ** 2 + arms[..., 2] ** 2
        self.k2 = ((tilting * (own[..., tilts] + apart)).sum(axis=-1)) / self.mass


class Dense:
    """Unknowns by name, each with its mean and standard deviation, and what follows of them."""

    def __init__(self, kit: Kit) -> None:
        self.kit = kit
        self.index: dict[Hashable, int] = {}
        self.prior: list[tuple[float, float]] = []
        self.theta: Array = np.zeros(0)
        self._kept: dict[int, list[tuple[Hashable, float]]] = {}

    def at(self, name: Hashable, mean: float, sd: float) -> Array:
        """The value (...) of an unknown; its prior mean until it is fitted."""
        where = self.index.setdefault(name, len(self.prior))
        if where == len(self.prior):
            self.prior.append((mean, sd))
        if where >= self.theta.shape[-1]:
            return np.full(self.theta.shape[:-1], mean)
        return np.asarray(self.theta[..., where])

    def vector(self, name: Hashable, mean: Sequence[float], sd: Sequence[float]) -> Array:
        """Three values (..., 3)."""
        three = zip(mean, sd, strict=True)
        return np.stack([self.at((name, i), m, s) for i, (m, s) in enumerate(three)], axis=-1)

    # What a component is, a unit of a type with its type's figures plus a small deviation.

    def mass(self, item: Component) -> Array:
        return np.exp(self._log_mass(item))

    def _log_mass(self, item: Component) -> Array:
        if item.mass is None and item.like is not None:
            own = self.at(("mass", item.id), 0.0, 0.005)
            return own + self._log_mass(self.kit.components[item.like])
        if item.mass is None:
            median, sd = UNWEIGHED[item.kind]
            return self.at(("mass", item.id), float(np.log(median)), sd)
        sd = item.mass_sd or max(0.005, 0.002 * item.mass)
        return self.at(("mass", item.id), float(np.log(item.mass)), sd / item.mass)

    def center(self, item: Component, state: str | None) -> Array:
        if item.cg is None and item.like is not None:
            type_of = self.kit.components[item.like]
            return self.center(type_of, state) + self.vector(
                ("cg", item.id), [0.0] * 3, [0.002] * 3
            )
        mean, sd = _center(item)
        usual = self.vector(("cg", item.id), mean.tolist(), sd.tolist())
        return usual if state is None else usual + np.array(item.states[state].cg) - mean

    def scale(self, item: Component) -> Array:
        """What the inertia is known to, as a factor (...)."""
        if item.inertia is None and item.size is None and item.like is not None:
            own = np.exp(self.at(("inertia", item.id), 0.0, 0.03))
            return np.asarray(own * self.scale(self.kit.components[item.like]))
        sd = 0.15 if item.inertia is None else 0.05
        return np.exp(self.at(("inertia", item.id), 0.0, sd))

    def tensor(self, item: Component) -> Array:
        """Nominal inertia about the component's center over its mass, in its own frame."""
        if item.inertia is not None:
            xx, yy, zz, xy, xz, yz = item.inertia
            return np.array([[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]]) / item.mass
        if item.size is None and item.like is not None:
            return self.tensor(self.kit.components[item.like])
        return _shape(item)

    # Where a part is.

    def hangs(self, stood: Hung, positions: Mapping[str, Array]) -> Hangs:
        """The whole with its adjusters at these true positions (...) [m]."""
        rows = [self._part(stood, part, positions) for part in stood.build.parts]
        masses, tilts, places, own = zip(*rows, strict=True)
        places = np.broadcast_arrays(*places)
        return Hangs(
            np.stack(masses, axis=-1), np.array(tilts), np.stack(places, axis=-2),
            np.stack(own, axis=-1),
        )  # fmt: skip

    def _part(
        self, stood: Hung, part: Part, positions: Mapping[str, Array]
    ) -> tuple[Array, bool, Array, Array]:
        item = self.component(part)
        turn, datum, tilts = self._datum(stood, part, positions)
        center = datum + self.center(item, stood.build.states.get(part.id)) @ turn.T
        own = (turn @ self.tensor(item) @ turn.T)[1, 1] * self.scale(item)
        return self.mass(item), tilts, center, own

    def _datum(
        self, stood: Hung, part: Part, positions: Mapping[str, Array]
    ) -> tuple[Array, Array, bool]:
        build = stood.build
        owner, _, name = part.on.rpartition(".")
        if owner:
            host = build.part(owner)
            turn, datum, tilts = self._datum(stood, host, positions)
            item = self.component(host)
            mount, key, prefix = item.mounts[name], item.id, f"{owner}."
            adjusters: Sequence[Adjuster] = item.adjusters
        else:
            rig = self.kit.rigs[build.rig]
            turn, datum, tilts = np.eye(3), np.zeros(3), True
            mount, key, prefix, adjusters = rig.mounts[name], rig.id, "", rig.adjusters
        place = self._place(mount, (key, name), adjusters, prefix, positions)
        if part.offset is not None:
            sd = 0.001 if part.sd is None else part.sd
            error = self.vector(("offset", build.id, part.id), [0.0] * 3, [sd] * 3)
            place = place + np.array(part.offset) + error
        own = turn
        if part.turn is not None:
            own = turn @ _turned(part.turn.about, part.turn.by)
        hung = datum + place @ turn.T
        if part.by is not None:
            item = self.component(part)
            held, prefix = item.mounts[part.by], f"{part.id}."
            hung = hung - (
                self._place(held, (item.id, part.by), item.adjusters, prefix, positions) @ own.T
            )
        return own, hung, tilts and mount.tilts

    def _place(
        self,
        mount: Mount,
        key: tuple[str, str],
        adjusters: Sequence[Adjuster],
        prefix: str,
        positions: Mapping[str, Array],
    ) -> Array:
        """Where a mount is in the axes of its owner, (..., 3)."""
        sd = 0.001 if mount.sd is None else mount.sd
        place = np.array(mount.at) + self.vector(("mount", *key), [0.0] * 3, [sd] * 3)
        for adjuster in adjusters:
            moved = mount.moved_by.count(adjuster.id) * _along(adjuster)
            place = place + np.asarray(positions[prefix + adjuster.id])[..., None] * moved
        return place

    def component(self, part: Part) -> Component:
        """A component, with the mounts and the like of its type where it states none."""
        item = self.kit.components[part.component]
        if item.like is None:
            return item
        type_of = self.kit.components[item.like]
        return replace(
            item, mounts=item.mounts or type_of.mounts, states=item.states or type_of.states,
            adjusters=item.adjusters or type_of.adjusters,
        )  # fmt: skip

    def scales(self, build: Build) -> dict[str, Adjuster]:
        found = {each.id: each for each in self.kit.rigs[build.rig].adjusters}
        for part in build.parts:
            for each in self.component(part).adjusters:
                found[f"{part.id}.{each.id}"] = each
        return found

    def stated(self, stood: Hung) -> dict[str, Array]:
        """Positions that the scales tell."""
        return {
            name: np.asarray(each.scale.zero + each.scale.sign * _one(stood.settings[name]))
            for name, each in self.scales(stood.build).items()
        }

    def positions(self, stood: Hung) -> dict[str, Array]:
        """True positions: each setting has one error, shared by what is read at that stand."""
        scales = self.scales(stood.build)
        found = {}
        for name, stated in self.stated(stood).items():
            owner = stood.version if name == "pivot" else stood.build.id
            key = ("set", owner, name, str(stood.settings[name]), stood.day)
            found[name] = stated + self.at(key, 0.0, scales[name].step)
        return found

    def seated(self, stood: Hung) -> Array:
        """How far the seating of the parts shifts the whole's center of gravity."""
        shift = np.zeros(3)
        for seat, share in self._seats(stood):
            shift = shift + share * self.vector(seat, [0.0] * 3, [RIGGING_SD] * 3)
        return shift

    def _seats(self, stood: Hung) -> list[tuple[Hashable, float]]:
        """Where each tilting part sits on that day, and its share of the whole's seating."""
        if id(stood) not in self._kept:
            stated, parts = self.stated(stood), stood.build.parts
            tilting = [part for part in parts if self._datum(stood, part, stated)[2]]
            masses = np.array([_nominal_mass(self.kit, part) for part in tilting])
            seats = [
                ("seat", stood.build.id, stood.day, _chain(stood.build, part)) for part in tilting
            ]
            shares = masses / np.sqrt(masses @ masses)
            self._kept[id(stood)] = list(zip(seats, shares, strict=True))
        return self._kept[id(stood)]

    # What readings say.

    def residuals(self, items: Sequence[Logged], seated: bool = True) -> Told:
        """Residual and standard deviation of everything that was read."""
        found: Told = []
        scatter = _scatter(items)
        for item in items:
            found += self._claims(item, scatter, seated)
        return found

    def _claims(self, item: Logged, scatter: Mapping[tuple[str, str], float], seated: bool) -> Told:
        stood, reading = item.hung, item.reading
        positions = self.positions(stood)
        hangs = self.hangs(stood, positions)
        up = 1.0 if stood.build.mode == "high" else -1.0
        rig = self.kit.rigs[stood.build.rig]
        cg = hangs.cg + (self.seated(stood) if seated else 0.0)
        off = cg - self.axis(stood, positions)
        depth, across = -up * off[..., 2], off[..., :2]
        torque = self.friction(rig.id) / (GRAVITY * hangs.mass)
        if isinstance(reading, Drop):
            trims = [] if reading.nose else self._hung(across, depth, torque, 0.0, 0.0, 0.05, up)
            sd = scatter[item.author, reading.method] / len(reading.times) ** 0.5
            return [self._drop(reading, sd, depth, hangs.k2, torque), *trims]
        if isinstance(reading, HangsUpright):
            return self._hung(across, depth, torque, 0.0, 0.0, np.tan(reading.within), up)
        if isinstance(reading, Lean):
            sd = reading.sd or np.radians(1.0)
            assert reading.lean is not None
            assert reading.side is not None
            fore, side = np.tan(reading.lean), np.tan(reading.side)
            return [
                self._hung(across, depth, torque, fore, 0.0, sd / np.cos(reading.lean) ** 2, up)[0],
                self._hung(across, depth, torque, 0.0, side, sd / np.cos(reading.side) ** 2, up)[1],
            ]
        if isinstance(reading, Weight):
            sd = reading.sd or max(0.02, 0.002 * reading.mass)
            return [(hangs.weight - reading.mass, np.asarray(sd))]
        assert isinstance(reading, BalancePoint)
        pivot = self.scales(stood.build)["pivot"]
        scale = pivot.scale
        # Across an edge the rig lies flat: the guides rise over it by the cosine of their lean.
        told = cg[..., 2] / _along(pivot)[2] - scale.zero - scale.sign * reading.at
        return [(told, np.asarray(reading.sd or 0.002))]

    def axis(self, stood: Hung, positions: Mapping[str, Array]) -> Array:
        """Where the tilt axis is (..., 3) [m]."""
        rig, pivot = self.kit.rigs[stood.build.rig], self.scales(stood.build)["pivot"]
        along = np.asarray(positions["pivot"])[..., None] * _along(pivot)
        return np.asarray(np.array([*rig.pivot_at, 0.0]) + along)

    def friction(self, rig: str) -> Array:
        mean, sd = 0.01 * np.sqrt(2 / np.pi), 0.01 * np.sqrt(1 - 2 / np.pi)
        return self.at(("friction", rig), mean, sd)

    @staticmethod
    def _drop(drop: Drop, sd: float, depth: Array, k2: Array, torque: Array) -> tuple[Array, Array]:
        factor = drop_factor(drop.release, drop.stop)
        seen = depth - friction_shift(drop.release, drop.stop) * torque
        time = float(np.mean(drop.times))
        believed = drop_time(np.maximum(seen, 1e-4), factor, k2)
        ahead, behind = (height(believed + each, factor, k2) for each in (1e-5, -1e-5))
        return seen - height(time, factor, k2), abs(ahead - behind) / 2e-5 * sd

    @staticmethod
    def _hung(
        across: Array, depth: Array, torque: Array, fore: float, side: float, sd: float, up: float
    ) -> Told:
        # An angle is what was read: as a length, two that contradict each other would agree on a
        # depth of nothing.
        below = np.maximum(depth, 0.0003)
        noise = np.hypot(sd, torque / below)
        # Its right side low is a center of gravity to the right, where the world's y is negative.
        return [
            (across[..., 0] / below - fore, noise),
            (across[..., 1] * up / below + side, noise),
        ]

    # The fit.

    def fit(self, items: Sequence[Logged]) -> None:
        """Set all unknowns to the values of greatest posterior density.

        Raises
        ------
        RuntimeError
            If that goes round in circles.
        """
        self.residuals(items)
        mean, sd = (np.array(each) for each in zip(*self.prior, strict=True))
        score, nudge = np.zeros(len(mean)), 1e-4 * np.eye(len(mean))
        for _ in range(60):
            self.theta = mean + sd * score
            noise = np.array([each for _, each in self.residuals(items, seated=False)])

            def scores(x: Array, noise: Array = noise) -> Array:
                self.theta = mean + sd * x
                told = np.stack([each for each, _ in self.residuals(items)], axis=-1)
                return np.concatenate([x, told / noise], axis=-1)

            def slopes(x: Array, scores: Callable[[Array], Array] = scores) -> Array:
                return (scores(x + nudge) - scores(x - nudge)).T / 2e-4

            found = least_squares(scores, score, slopes, method="lm", xtol=1e-13, ftol=1e-15)
            moved, score = found.x - score, found.x
            if np.all(np.abs(moved) <= 1e-7):
                self.jacobian = found.jac / sd
                self.theta = mean + sd * score
                return
        raise RuntimeError("the dense fit goes round in circles")

    def register(self, value: Callable[[], object]) -> None:
        """Name the unknowns of what will be asked, before the fit."""
        value()

    def spread(self, value: Callable[[], Array]) -> float:
        """Standard deviation of what follows of the unknowns, by the curvature at the fit."""
        theta = self.theta
        sd = np.array([each for _, each in self.prior])
        nudge = 1e-3 * np.diag(sd)
        self.theta = theta + nudge
        ahead = value()
        self.theta = theta - nudge
        slope = (ahead - value()) / (2e-3 * sd)
        self.theta = theta
        return float(np.sqrt(slope @ np.linalg.solve(self.jacobian.T @ self.jacobian, slope)))

    def mark(self, stood: Hung, wanted_s: float) -> Array:
        """True position of the pivot at which the trimmed build drops in that time (...) [m]."""
        return np.asarray(self.settled(stood, wanted_s)["pivot"])

    def settled(self, stood: Hung, wanted_s: float) -> dict[str, Array]:
        """True positions of all adjusters there."""
        positions, shift = self.positions(stood), self.seated(stood)
        rig = self.kit.rigs[stood.build.rig]
        up = 1.0 if stood.build.mode == "high" else -1.0
        slides = ("stage-fore-aft", "stage-side", "pivot")

        def off(positions: Mapping[str, Array]) -> Array:
            """(..., 3) how far from trim, and how far above the wanted height."""
            hangs = self.hangs(stood, positions)
            torque = self.friction(rig.id) / (GRAVITY * hangs.mass)
            away = hangs.cg + shift - self.axis(stood, positions)
            across, depth = away[..., :2], -up * away[..., 2]
            late = depth - friction_shift() * torque - height(wanted_s, QUARTER, hangs.k2)
            return np.concatenate([across, late[..., None]], axis=-1)

        # Newton by differences: a slide of a turned plate moves along two axes.
        for _ in range(8):
            here = off(positions)
            ahead = [off({**positions, name: positions[name] + 1e-4}) - here for name in slides]
            step = np.linalg.solve(np.stack(ahead, axis=-1) / 1e-4, here[..., None])[..., 0]
            positions |= {name: positions[name] - step[..., i] for i, name in enumerate(slides)}
        return positions


def _scatter(items: Sequence[Logged]) -> dict[tuple[str, str], float]:
    """Each person's scatter by method, with the usual one worth ten repeats more."""
    drops = [(item.author, item.reading) for item in items if isinstance(item.reading, Drop)]
    found: dict[tuple[str, str], float] = {}
    for who, method in {(author, drop.method) for author, drop in drops}:
        times = [d.times for author, d in drops if (author, d.method) == (who, method)]
        squares = sum(float(np.sum((np.array(each) - np.mean(each)) ** 2)) for each in times)
        degrees = sum(len(each) - 1 for each in times)
        found[who, method] = ((10 * TIMING[method] ** 2 + squares) / (10 + degrees)) ** 0.5
    return found


def _turned(about: str, by: float) -> Array:
    """Right-handed turn about an axis: I + sin K + (1 - cos) K^2 (Rodrigues)."""
    axis = np.eye(3)["xyz".index(about)]
    cross = np.cross(axis, np.eye(3)).T
    return np.asarray(np.eye(3) + np.sin(by) * cross + (1 - np.cos(by)) * cross @ cross)


def _along(adjuster: Adjuster) -> Array:
    """Where an adjuster goes: its axis, leaning about y from up towards forward."""
    return _turned("y", adjuster.lean) @ np.eye(3)["xyz".index(adjuster.axis)]


def _one(setting: float | PivotPair) -> float:
    return (setting.left + setting.right) / 2 if isinstance(setting, PivotPair) else setting


def _center(item: Component) -> tuple[Array, Array]:
    if item.cg is not None:
        return np.array(item.cg), np.full(3, item.cg_sd or 0.005)
    assert item.size is not None
    size = np.array(item.size)
    ahead = item.kind in {"lens", "matte-box", "filter"}
    mean = np.array([size[0] / 2, 0.0, 0.0] if ahead else [0.0, 0.0, size[2] / 2])
    return mean, size / 6 if item.cg_sd is None else np.full(3, item.cg_sd)


def _shape(item: Component) -> Array:
    assert item.size is not None
    x, y, z = item.size
    if item.shape == "box":
        return np.diag([y * y + z * z, x * x + z * z, x * x + y * y]) / 12
    assert item.shape == "cylinder-z"
    across = (3 * (x / 2) ** 2 + z * z) / 12
    return np.diag([across, across, (x / 2) ** 2 / 2])


def _nominal_mass(kit: Kit, part: Part) -> float:
    item = kit.components[part.component]
    while item.mass is None and item.like is not None:
        item = kit.components[item.like]
    return item.mass or UNWEIGHED[item.kind][0]


def _chain(build: Build, part: Part) -> str:
    """What a part sits on, down to the rig."""
    owner = part.on.rpartition(".")[0]
    below = _chain(build, build.part(owner)) if owner else ""
    return f"{below}/{part.on}:{part.component}"
