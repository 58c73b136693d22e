"""Parts on their way into arrays: where each of a build is, and which parameters shift it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.mechanics.mass_properties import rotation
from riglog.records import Component, Part, PivotPair

if TYPE_CHECKING:
    from riglog.estimation.kit import Hung
    from riglog.estimation.matrices import Shift
    from riglog.estimation.parameters import Parameters
    from riglog.mechanics.arrays import FloatArray
    from riglog.records import Adjuster, Mount, Setting

# Between the names of two states: the middle of both.
RANGE = ".."


class Axis(NamedTuple):
    """The axis of a powered head: where it is, and what shifts it."""

    datum: FloatArray
    shifts: list[Shift]
    slides: dict[str, FloatArray]


class Placed(NamedTuple):
    """A part on its way into the arrays: its datum, how it is turned, and what shifts it.

    ``axis`` is that of the powered head that it sits on, directly or not.
    """

    part: Part
    key: str
    component: Component
    datum: FloatArray
    turn: FloatArray
    shifts: list[Shift]
    slides: dict[str, FloatArray]
    tilts: bool
    seat: str
    axis: Axis | None = None


class Planter:
    """Places the parts of one build one after another."""

    def __init__(self, parameters: Parameters, hung: Hung) -> None:
        self.parameters = parameters
        self.hung = hung
        self.build = hung.build
        self.rig = parameters.kit.rigs[self.build.rig]
        self.scales = {adjuster.id: adjuster for adjuster in self.rig.adjusters}
        self.placed: dict[str, Placed] = {}
        self._ground = Placed(
            Part(component=self.rig.id, on=""), self.rig.id, Component(id=self.rig.id),
            np.zeros(3), np.eye(3), [], {}, tilts=True, seat=self.rig.id,
        )  # fmt: skip

    def place(self, part: Part) -> Placed:
        """The part where it is, after all that it sits on."""
        if part.id not in self.placed:
            key, component = self.parameters.resolved(part.component, self.hung.day)
            for adjuster in component.adjusters:
                self.scales[f"{part.id}.{adjuster.id}"] = adjuster
            self.placed[part.id] = self._on(part, key, component)
        return self.placed[part.id]

    def _on(self, part: Part, key: str, component: Component) -> Placed:
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
        axis = below.axis
        local = np.array(mount.at)
        slides = self._slides(below, mount, prefix)
        if mount.levels:
            axis = Axis(below.datum + turn @ local, list(shifts), slides)
        if part.offset is not None:
            local = local + part.offset
            shifts.append((turn, self.parameters.place((self.build.id, part.id), part.sd)))
        placed = Placed(
            part, key, component,
            datum=below.datum + turn @ local,
            turn=turn if part.turn is None else turn @ rotation(part.turn.about, part.turn.by),
            shifts=shifts,
            slides=slides,
            tilts=below.tilts and mount.tilts,
            seat=f"{below.seat}/{part.on}:{part.component}{_hung(part)}",
            axis=axis,
        )  # fmt: skip
        return placed if part.by is None else self._hung_by(placed, part.by)

    def _hung_by(self, placed: Placed, name: str) -> Placed:
        """The part with a mount of its own where its datum was."""
        mount = placed.component.mounts[name]
        place = self.parameters.place((placed.key, name), mount.sd)
        slides = dict(placed.slides)
        for each in mount.moved_by:
            slide = f"{placed.part.id}.{each}"
            way = placed.turn @ self.scales[slide].way
            slides[slide] = slides.get(slide, np.zeros(3)) - way
        return placed._replace(
            datum=placed.datum - placed.turn @ np.array(mount.at),
            shifts=[*placed.shifts, (-placed.turn, place)],
            slides=slides,
        )

    @property
    def keeps_level(self) -> bool:
        """Whether what sits on a powered head stays level; limp it hangs from the axis alike."""
        return self.build.head not in {"follow", "locked"}

    def centers(self, item: Placed) -> list[Shift]:
        """What shifts a part's center of gravity from its datum."""
        blocks = self.parameters.cg(item.part.component, self.hung.day)
        return [(item.turn, block) for block in blocks]

    def usual_place(self, item: Placed) -> FloatArray:
        """What the center of gravity is shifted from: the datum, unless a state moves it."""
        said = self.build.states.get(item.part.id, "").split(RANGE, 1)
        centers = [item.component.states[each].cg for each in said if each in item.component.states]
        if not centers:
            return item.datum
        usual = self.parameters.usual_cg(item.part.component, self.hung.day)
        place: FloatArray = item.datum + item.turn @ (np.mean(centers, axis=0) - usual)
        return place

    def _slides(self, below: Placed, mount: Mount, prefix: str) -> dict[str, FloatArray]:
        slides = dict(below.slides)
        for name in mount.moved_by:
            way = below.turn @ self.scales[prefix + name].way
            slides[prefix + name] = slides.get(prefix + name, np.zeros(3)) + way
        return slides


def _hung(part: Part) -> str:
    """How a part sits there: hung or turned another way, it seats itself anew."""
    turned = f"+{part.turn.about}{part.turn.by:.6f}" if part.turn else ""
    return f"{f'~{part.by}' if part.by else ''}{turned}"


def reading_m(setting: float | PivotPair) -> float:
    """The one figure that stands for a setting: for a ring's two sides, their mean."""
    if isinstance(setting, PivotPair):
        return (setting.left + setting.right) / 2
    return setting


def position_m(scale: Adjuster, setting: Setting | None) -> float:
    """Where an adjuster stands [m]; one that nobody set, in the middle of its travel."""
    return scale.scale.position(middle(scale) if setting is None else reading_m(setting))


def middle(scale: Adjuster) -> float:
    """The reading [m] in the middle of a travel."""
    low, high = scale.travel or (0.0, 0.0)
    return (low + high) / 2
