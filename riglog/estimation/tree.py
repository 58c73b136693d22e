"""A build as arrays: where each of its n parts is, and which parameters move it.

With theta the parameters and u the positions of the a adjusters,

    log m = M theta,  log s = S theta,  p = base + slides u + P theta

where p are the parts' centers of gravity in the rig frame and s scales each part's inertia.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.estimation.parameters import Columns, Parameters
from riglog.estimation.priors import LUMP, LUMP_SIDEWAYS_SD_M, box_of
from riglog.mechanics.arrays import FloatArray
from riglog.mechanics.mass_properties import rotation
from riglog.records import Adjuster, Build, Component, Mount, Part, PivotPair, Rig

if TYPE_CHECKING:
    from riglog.estimation.kit import Hung

Shift = tuple[FloatArray, Columns]
_AXES = {"x": 0, "y": 1, "z": 2}
UNLISTED = "unlisted"
STRUCTURE = {"post": "post", "ring": "frame"}


class Tree(NamedTuple):
    """A build version, flattened. n parts, a adjusters, q columns of the parameters.

    Attributes
    ----------
    parts, kinds, adjusters
        Names of the n parts, what kind each is, and names of the a adjusters.
    scales
        The adjuster behind each name.
    columns : (q,) array of int
        The parameters that this tree depends on; the matrices below have one column for each.
    log_mass, log_inertia : (n, q) arrays
        M and S.
    base : (n, 3) array [m], slides : (n, a, 3) array, shifts : (n, 3, q) array
        Constant part of p, its change per unit of adjuster position, and P.
    gyration : (n, 3, 3) array [m^2]
        Inertia tensor per unit of mass, turned into the rig frame.
    tilts : (n,) array of bool
        Whether a part swings with the rig.
    spans : (n, 2) array [m]
        Lowest and highest z of each part, from the rig's datum with every adjuster at zero.
    seats : tuple of str
        What each part sits on, down to the rig: parts with equal seats were not touched.
    friction : int
        The parameter that is the friction at the rig's pivot.
    """

    rig: Rig
    build: Build
    parts: tuple[str, ...]
    kinds: tuple[str, ...]
    adjusters: tuple[str, ...]
    scales: tuple[Adjuster, ...]
    columns: npt.NDArray[np.intp]
    log_mass: FloatArray
    log_inertia: FloatArray
    base: FloatArray
    slides: FloatArray
    shifts: FloatArray
    gyration: FloatArray
    tilts: npt.NDArray[np.bool_]
    spans: FloatArray
    seats: tuple[str, ...]
    friction: int

    @property
    def up(self) -> float:
        """Which way along z is up in the world: 1 in high mode, -1 in low mode."""
        return 1.0 if self.build.mode == "high" else -1.0

    @property
    def pivot(self) -> int:
        """Which adjuster is the pivot."""
        return self.adjusters.index("pivot")

    def along(self, index: int) -> int:
        """Axis of the rig, 0 to 2, that an adjuster moves parts along, however its host is turned.

        Of one that moves nothing, its own.
        """
        if index == self.pivot or not np.any(self.slides[:, index]):
            return _AXES[self.scales[index].axis]
        return int(np.argmax(np.max(np.abs(self.slides[:, index]), axis=0)))

    def sense(self, index: int) -> float:
        """Way along that axis that the adjuster moves parts as its position grows: 1 or -1."""
        along = self.slides[:, index, self.along(index)]
        return -1.0 if index != self.pivot and np.any(along < 0) else 1.0

    def positions(self, hung: Hung) -> FloatArray:
        """Positions (a,) [m] of the adjusters at the settings of ``hung``.

        One that nobody set is taken to be in the middle of its travel.
        """
        return np.array(
            [
                scale.scale.position(reading_m(hung.settings.get(name, _middle(scale))))
                for name, scale in zip(self.adjusters, self.scales, strict=True)
            ]
        )


def _middle(scale: Adjuster) -> float:
    low, high = scale.travel or (0.0, 0.0)
    return (low + high) / 2


def reading_m(setting: float | PivotPair) -> float:
    """The one figure that stands for a setting: for a ring's two sides, their mean."""
    if isinstance(setting, PivotPair):
        return (setting.left + setting.right) / 2
    return setting


class _Placed(NamedTuple):
    """A part on its way into the arrays: its datum, how it is turned, and what shifts it."""

    part: Part
    key: str
    component: Component
    datum: FloatArray
    turn: FloatArray
    shifts: list[Shift]
    slides: dict[str, FloatArray]
    tilts: bool
    seat: str


class _Planter:
    """Places the parts of one build one after another."""

    def __init__(self, parameters: Parameters, hung: Hung) -> None:
        self.parameters = parameters
        self.hung = hung
        self.build = hung.build
        self.rig = parameters.kit.rigs[self.build.rig]
        self.scales = {adjuster.id: adjuster for adjuster in self.rig.adjusters}
        self.placed: dict[str, _Placed] = {}
        self._ground = _Placed(
            Part(component=self.rig.id, on=""), self.rig.id, Component(id=self.rig.id),
            np.zeros(3), np.eye(3), [], {}, tilts=True, seat=self.rig.id,
        )  # fmt: skip

    def place(self, part: Part) -> _Placed:
        """The part where it is, after all that it sits on."""
        if part.id not in self.placed:
            key, component = self.parameters.resolved(part.component, self.hung.day)
            for adjuster in component.adjusters:
                self.scales[f"{part.id}.{adjuster.id}"] = adjuster
            self.placed[part.id] = self._on(part, key, component)
        return self.placed[part.id]

    def _on(self, part: Part, key: str, component: Component) -> _Placed:
        owner, _, mount_name = part.on.rpartition(".")
        if owner:
            below = self.place(self.build.part(owner))
            mount, prefix = below.component.mounts[mount_name], f"{owner}."
            place_key = (below.key, mount_name)
        else:
            below, mount, prefix = self._ground, self.rig.mounts[mount_name], ""
            place_key = (self.rig.id, mount_name)
        turn = below.turn
        shifts = [*below.shifts, (turn, self.parameters.place(place_key, mount.sd))]
        local = np.array(mount.at)
        if part.offset is not None:
            local = local + part.offset
            shifts.append((turn, self.parameters.place((self.build.id, part.id), part.sd)))
        return _Placed(
            part, key, component,
            datum=below.datum + turn @ local,
            turn=turn if part.turn is None else turn @ rotation(part.turn.about, part.turn.by),
            shifts=shifts,
            slides=self._slides(below, mount, prefix),
            tilts=below.tilts and mount.tilts,
            seat=f"{below.seat}/{part.on}:{part.component}",
        )  # fmt: skip

    def _slides(self, below: _Placed, mount: Mount, prefix: str) -> dict[str, FloatArray]:
        slides = dict(below.slides)
        for name in mount.moved_by:
            axis = below.turn[:, _AXES[self.scales[prefix + name].axis]]
            slides[prefix + name] = slides.get(prefix + name, np.zeros(3)) + axis
        return slides


def flatten(parameters: Parameters, hung: Hung) -> Tree:
    """The build of ``hung`` as arrays; parameters that it needs are added to ``parameters``.

    Raises
    ------
    KeyError
        If a part sits on a mount that there is not, or a component is not in the kit.
    """
    planter = _Planter(parameters, hung)
    placed = [planter.place(part) for part in hung.build.parts]
    names = tuple(planter.scales)
    columns: dict[int, int] = {}
    masses, inertias, shifts, gyrations = [], [], [], []
    for item in placed:
        name, day = item.part.component, hung.day
        masses.append(parameters.log_mass(name, day))
        inertias.append(parameters.log_inertia(name, day))
        centers = [(item.turn, block) for block in parameters.cg(name, day)]
        shifts.append([*item.shifts, *centers])
        gyrations.append(item.turn @ parameters.inertia_m2(name, day) @ item.turn.T)
    if is_partly_listed(planter.rig, [item.component for item in placed]):
        _add_lump(planter, masses, inertias, shifts, gyrations)
    lumps = len(masses) - len(placed)
    for block in [b for group in (*masses, *inertias) for b in group] + [
        b for group in shifts for _, b in group
    ]:
        for column in block:
            columns.setdefault(column, len(columns))
    base = np.array(
        [item.datum + _state_shift(planter, item) for item in placed] + lumps * [np.zeros(3)]
    )
    return Tree(
        planter.rig, hung.build,
        parts=(*(item.part.id for item in placed), *([UNLISTED] * lumps)),
        kinds=(*(item.component.kind for item in placed), *([UNLISTED] * lumps)),
        adjusters=names,
        scales=tuple(planter.scales.values()),
        columns=np.fromiter(columns, np.intp, len(columns)),
        log_mass=_scalar_matrix(masses, columns),
        log_inertia=_scalar_matrix(inertias, columns),
        base=base.reshape(-1, 3),
        slides=_slide_matrix(placed, names, lumps),
        shifts=_vector_matrix(shifts, columns),
        gyration=np.array(gyrations).reshape(-1, 3, 3),
        tilts=np.array([item.tilts for item in placed] + lumps * [True], dtype=bool),
        spans=np.array([_span(item) for item in placed] + lumps * [(0.0, 0.0)]).reshape(-1, 2),
        seats=(*(item.seat for item in placed), *([f"{planter.rig.id}/unlisted"] * lumps)),
        friction=parameters.friction(planter.rig.id)[0],
    )  # fmt: skip


def is_partly_listed(rig: Rig, components: list[Component]) -> bool:
    """Whether the rig's own structure is missing from the parts, and all else may be too."""
    return all(component.kind != STRUCTURE[rig.type] for component in components)


def _add_lump(
    planter: _Planter,
    masses: list[list[Columns]],
    inertias: list[list[Columns]],
    shifts: list[list[Shift]],
    gyrations: list[FloatArray],
) -> None:
    """One lump stands for what nobody listed, near the marks that the rig was flown at.

    It is another one once anything is listed: that was part of it before.
    """
    rig, parameters = planter.rig, planter.parameters
    lump = (rig.id, bool(planter.build.parts))
    mass, log_sd, gyration, share, height_sd = LUMP[rig.type]
    height = _usual_height(planter)
    sideways = LUMP_SIDEWAYS_SD_M
    masses.append([parameters.block(("mass", lump), [float(np.log(mass))], [log_sd])])
    inertias.append([parameters.block(("inertia", lump), [0.0], [2 * share])])
    cg = parameters.block(("cg", lump), [*rig.pivot_at, height], [sideways, sideways, height_sd])
    shifts.append([(np.eye(3), cg)])
    gyrations.append(gyration**2 * np.eye(3))


def _usual_height(planter: _Planter) -> float:
    """Where the rig's pivot was at its first logged reading, else the middle of its travel."""
    pivot = planter.scales["pivot"]
    for logged in planter.parameters.kit.readings:
        if logged.hung.build.rig == planter.rig.id and "pivot" in logged.hung.settings:
            return pivot.scale.position(reading_m(logged.hung.settings["pivot"]))
    if "pivot" in planter.hung.settings:
        return pivot.scale.position(reading_m(planter.hung.settings["pivot"]))
    return pivot.scale.position(_middle(pivot))


def _span(item: _Placed) -> tuple[float, float]:
    """Lowest and highest z of the box that a part fills, however it is turned."""
    middle, size = box_of(item.component)
    center = item.datum[2] + item.turn[2] @ middle
    half = np.abs(item.turn[2]) @ size / 2
    return float(center - half), float(center + half)


def _state_shift(planter: _Planter, item: _Placed) -> FloatArray:
    """How far the part's state moves its center of gravity from its usual place."""
    state = planter.build.states.get(item.part.id)
    named = item.component.states.get(state) if state is not None else None
    if named is None:
        return np.zeros(3)
    usual = planter.parameters.usual_cg(item.part.component, planter.hung.day)
    return item.turn @ (np.array(named.cg) - usual)


def _scalar_matrix(blocks: list[list[Columns]], columns: dict[int, int]) -> FloatArray:
    matrix = np.zeros((len(blocks), len(columns)))
    for row, group in enumerate(blocks):
        for block in group:
            matrix[row, columns[block[0]]] += 1.0
    return matrix


def _vector_matrix(shifts: list[list[Shift]], columns: dict[int, int]) -> FloatArray:
    matrix = np.zeros((len(shifts), 3, len(columns)))
    for row, group in enumerate(shifts):
        for turn, block in group:
            matrix[row, :, [columns[column] for column in block]] += turn.T
    return matrix


def _slide_matrix(placed: list[_Placed], names: tuple[str, ...], lumps: int) -> FloatArray:
    matrix = np.zeros((len(placed) + lumps, len(names), 3))
    for row, item in enumerate(placed):
        for name, axis in item.slides.items():
            matrix[row, names.index(name)] = axis
    return matrix
