"""A build as arrays: where each of its n parts is, and which parameters move it.

With theta the parameters and u the positions of the a adjusters,

    log m = M theta,  log s = S theta,  p = base + slides u + P theta

where p are the parts' centers of gravity in the rig frame and s scales each part's inertia.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.estimation.matrices import columns_of, scalar_matrix, slide_matrix, vector_matrix
from riglog.estimation.planting import Placed, Planter, position_m, reading_m
from riglog.estimation.priors import LUMP, LUMP_SIDEWAYS_SD_M, box_of
from riglog.estimation.pulls import carried, pulls

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from riglog.estimation.aside import Aside
    from riglog.estimation.kit import Hung
    from riglog.estimation.matrices import Shift
    from riglog.estimation.parameters import Columns, Parameters
    from riglog.estimation.pulls import Carried
    from riglog.mechanics.arrays import FloatArray
    from riglog.records import Adjuster, Build, Component, Rig

UNLISTED = "unlisted"
STRUCTURE = {"post": "post", "ring": "frame"}
AXES = {"x": 0, "y": 1, "z": 2}


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
    centering
        The parameters that say how far the gimbal's tilt axis is off the one that it pans about.
    payload : tuple of str
        Parts that sit on a powered head, whatever it does.
    aside
        What pulls it out of upright beside the parts' own places; None where nothing does.
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
    centering: Columns
    payload: tuple[str, ...]
    aside: Aside | None

    @property
    def up(self) -> float:
        """Which way along z is up in the world: 1 in high mode, -1 in low mode."""
        return 1.0 if self.build.mode == "high" else -1.0

    @property
    def pivot(self) -> int:
        """Which adjuster is the pivot."""
        return self.adjusters.index("pivot")

    @property
    def way(self) -> FloatArray:
        """Unit vector (3,) along which the pivot goes as its position grows."""
        return np.array(self.scales[self.pivot].way)

    @property
    def lift(self) -> int | None:
        """Which adjuster sets how far the tilt axis stands above the center of gravity.

        The pivot, unless its guides lie fore and aft: then the first that moves a part up and down.
        """
        if self.along(self.pivot) == AXES["z"]:
            return self.pivot
        for index in range(len(self.scales)):
            if self.along(index) == AXES["z"] and self.moves_a_part(index):
                return index
        return None

    @property
    def balanced(self) -> tuple[int, float]:
        """Axis along which a balance point on the pivot's scale is told, and its way along it.

        The rig lies with its post or guides across the edge, or hangs where they lie themselves.
        """
        axis = self.along(self.pivot)
        return axis, float(self.way[axis])

    def moves_a_part(self, index: int) -> bool:
        """Whether an adjuster moves anything that swings."""
        return bool(np.any(self.slides[self.tilts, index]))

    def pan_axis_m(self, positions_m: FloatArray) -> FloatArray:
        """Where the axis is that the rig pans about, (..., 3) [m], at positions (..., a)."""
        along = positions_m[..., self.pivot, None] * self.way
        return np.array([*self.rig.pivot_at, 0.0]) + along

    def axis_m(self, theta: FloatArray, positions_m: FloatArray) -> FloatArray:
        """Where the tilt axis is, (..., 3) [m], the rig panned as it is flown."""
        axis = self.pan_axis_m(positions_m)
        if self.centering:
            axis[..., :2] += theta[list(self.centering)]
        return axis

    def below_m(self, positions_m: FloatArray, cg_m: FloatArray) -> FloatArray:
        """How far centers (..., 3) lie below the tilt axis, as the world has it, (...) [m]."""
        below: FloatArray = self.up * (positions_m[..., self.pivot] * self.way[2] - cg_m[..., 2])
        return below

    def along(self, index: int) -> int:
        """Axis of the rig, 0 to 2, that an adjuster moves parts along, however its host is turned.

        Of one that moves nothing, its own.
        """
        if index == self.pivot or not np.any(self.slides[:, index]):
            return AXES[self.scales[index].axis]
        return int(np.argmax(np.max(np.abs(self.slides[:, index]), axis=0)))

    def sense(self, index: int) -> float:
        """Way along that axis that the adjuster moves parts as its position grows: 1 or -1."""
        along = self.slides[:, index, self.along(index)]
        return -1.0 if index != self.pivot and np.any(along < 0) else 1.0

    def positions(self, hung: Hung) -> FloatArray:
        """Positions (a,) [m] of the adjusters at the settings of ``hung``.

        One that nobody set is taken to be in the middle of its travel.
        """
        known = zip(self.adjusters, self.scales, strict=True)
        return np.array([position_m(scale, hung.settings.get(name)) for name, scale in known])


class _Row(NamedTuple):
    """One part of a tree, before its parameters have their columns."""

    name: str
    kind: str
    log_mass: list[Columns]
    log_inertia: list[Columns]
    base: FloatArray
    shifts: list[Shift]
    slides: Mapping[str, FloatArray]
    gyration: FloatArray
    tilts: bool
    span: tuple[float, float]
    seat: str

    @property
    def blocks(self) -> Iterator[Columns]:
        """What it depends on."""
        yield from self.log_mass
        yield from self.log_inertia
        yield from (block for _, block in self.shifts)


def flatten(parameters: Parameters, hung: Hung) -> Tree:
    """The build of ``hung`` as arrays; parameters that it needs are added to ``parameters``.

    Raises
    ------
    KeyError
        If a part sits on a mount that there is not, or a component is not in the kit.
    """
    planter = Planter(parameters, hung)
    placed = [planter.place(part) for part in hung.build.parts]
    held = carried(planter, placed)
    rows = [_row(planter, item, held.get(item.part.id)) for item in placed]
    if is_partly_listed(planter.rig, [item.component for item in placed]):
        rows.append(_lump(planter))
    pulled = pulls(planter, placed, len(rows))
    names = tuple(planter.scales)
    columns = columns_of(
        [*(block for row in rows for block in row.blocks), *(pulled.blocks if pulled else ())]
    )
    return Tree(
        planter.rig, hung.build,
        parts=tuple(row.name for row in rows),
        kinds=tuple(row.kind for row in rows),
        adjusters=names,
        scales=tuple(planter.scales.values()),
        columns=np.fromiter(columns, np.intp, len(columns)),
        log_mass=scalar_matrix([row.log_mass for row in rows], columns),
        log_inertia=scalar_matrix([row.log_inertia for row in rows], columns),
        base=np.array([row.base for row in rows]).reshape(-1, 3),
        slides=slide_matrix([row.slides for row in rows], names),
        shifts=vector_matrix([row.shifts for row in rows], columns),
        gyration=np.array([row.gyration for row in rows]).reshape(-1, 3, 3),
        tilts=np.array([row.tilts for row in rows], dtype=bool),
        spans=np.array([row.span for row in rows]).reshape(-1, 2),
        seats=tuple(row.seat for row in rows),
        friction=parameters.friction(planter.rig.id)[0],
        centering=parameters.centering(planter.rig.id),
        payload=tuple(item.part.id for item in placed if item.axis is not None),
        aside=pulled.arrays(columns, names) if pulled else None,
    )  # fmt: skip


def _row(planter: Planter, item: Placed, held: Carried | None) -> _Row:
    parameters, name, day = planter.parameters, item.part.component, planter.hung.day
    if item.axis is not None and planter.keeps_level:
        # It does not turn with the frame: a point on the head's axis.
        base, shifts, slides = item.axis
        gyration = np.zeros((3, 3))
    elif held is not None:
        base, shifts, slides, lever = held
        gyration = item.turn @ parameters.inertia_m2(name, day) @ item.turn.T
        gyration = gyration + lever @ lever * np.eye(3) - np.outer(lever, lever)
    else:
        base, shifts = planter.usual_place(item), [*item.shifts, *planter.centers(item)]
        slides = item.slides
        gyration = item.turn @ parameters.inertia_m2(name, day) @ item.turn.T
    return _Row(
        item.part.id, item.component.kind, parameters.log_mass(name, day),
        parameters.log_inertia(name, day), base, shifts, slides, gyration, item.tilts,
        _span(item), item.seat,
    )  # fmt: skip


def is_partly_listed(rig: Rig, components: list[Component]) -> bool:
    """Whether the rig's own structure is missing from the parts, and all else may be too."""
    return all(component.kind != STRUCTURE[rig.type] for component in components)


def _lump(planter: Planter) -> _Row:
    """One lump stands for what nobody listed, near the axis at the marks that the rig was flown at.

    It is another one once anything is listed: that was part of it before.
    """
    rig, parameters = planter.rig, planter.parameters
    lump = (rig.id, bool(planter.build.parts))
    mass, log_sd, gyration, share, height_sd = LUMP[rig.type]
    sideways = LUMP_SIDEWAYS_SD_M
    way = np.array(planter.scales["pivot"].way)
    axis = np.array([*rig.pivot_at, 0.0]) + _usual_m(planter) * way
    cg = parameters.block(("cg", lump), axis.tolist(), [sideways, sideways, height_sd])
    return _Row(
        UNLISTED, UNLISTED,
        [parameters.block(("mass", lump), [float(np.log(mass))], [log_sd])],
        [parameters.block(("inertia", lump), [0.0], [2 * share])],
        np.zeros(3), [(np.eye(3), cg)], {}, gyration**2 * np.eye(3),
        tilts=True, span=(0.0, 0.0), seat=f"{rig.id}/unlisted",
    )  # fmt: skip


def _usual_m(planter: Planter) -> float:
    """Where the rig's pivot was along its way when first read, else the middle of its travel."""
    pivot = planter.scales["pivot"]
    for logged in planter.parameters.kit.readings:
        if logged.hung.build.rig == planter.rig.id and "pivot" in logged.hung.settings:
            return pivot.scale.position(reading_m(logged.hung.settings["pivot"]))
    if "pivot" in planter.hung.settings:
        return pivot.scale.position(reading_m(planter.hung.settings["pivot"]))
    return position_m(pivot, None)


def _span(item: Placed) -> tuple[float, float]:
    """Lowest and highest z of the box that a part fills, however it is turned."""
    middle, size = box_of(item.component)
    center = item.datum[2] + item.turn[2] @ middle
    half = np.abs(item.turn[2]) @ size / 2
    return float(center - half), float(center + half)
