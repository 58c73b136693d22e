"""What pulls each part's weight aside, from a build as it is planted.

A payload that its operator balanced on a powered head hangs on the head's axis, give or take what
a hand can feel. One that is not balanced anew after a swap hangs where it was balanced with the
parts of before. Held to the frame, locked or following it, the payload turns with it, and its
center lies on that axis as well.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.aside import Aside, Former
from riglog.estimation.matrices import scalar_matrix, slide_matrix, vector_matrix
from riglog.estimation.planting import Planter, position_m
from riglog.estimation.priors import ON_HEAD_SD_M

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from riglog.estimation.matrices import Shift
    from riglog.estimation.parameters import Columns
    from riglog.estimation.planting import Placed
    from riglog.mechanics.arrays import FloatArray

# Along the rig and across it; what pulls up or down does not lean it.
_ACROSS = np.eye(3)[:, :2]


class _Pull(NamedTuple):
    """A part, as far as it lies off the axis of its head."""

    base: FloatArray
    shifts: list[Shift]
    slides: Mapping[str, FloatArray]


class _FormerPart(NamedTuple):
    """A part of the payload when it was balanced."""

    log_mass: list[Columns]
    base: FloatArray
    shifts: list[Shift]


class Pulls(NamedTuple):
    """A pull for each of n rows, before its parameters have their columns."""

    rows: list[_Pull]
    on_head: list[bool]
    former: list[_FormerPart]

    @property
    def blocks(self) -> Iterator[Columns]:
        """What they depend on."""
        for row in self.rows:
            yield from (block for _, block in row.shifts)
        for part in self.former:
            yield from (block for _, block in part.shifts)
            yield from part.log_mass

    def arrays(self, columns: Mapping[int, int], names: Sequence[str]) -> Aside:
        """The same over q columns and a adjusters."""
        former = None
        if self.former:
            former = Former(
                np.array(self.on_head, dtype=np.float64),
                scalar_matrix([part.log_mass for part in self.former], columns),
                np.array([part.base for part in self.former])[:, :2],
                vector_matrix([part.shifts for part in self.former], columns)[:, :2],
            )
        return Aside(
            np.array([row.base for row in self.rows])[:, :2],
            slide_matrix([row.slides for row in self.rows], names)[..., :2],
            vector_matrix([row.shifts for row in self.rows], columns)[:, :2],
            former,
        )


def pulls(planter: Planter, placed: Sequence[Placed], count: int) -> Pulls | None:
    """What pulls aside the placed parts, and nothing for the rest of ``count`` rows."""
    on_head = [item.axis is not None and planter.keeps_level for item in placed]
    on_head += [False] * (count - len(placed))
    if not any(on_head):
        return None
    rows = [_Pull(np.zeros(3), [], {}) for _ in range(count)]
    former = _former(planter)
    error = _balance_error(planter, former)
    for index, item in enumerate(placed):
        if on_head[index]:
            own = _off_axis(planter, item) if former else rows[index]
            rows[index] = own._replace(shifts=[*own.shifts, error])
    parts = [_former_part(*each) for each in former]
    return Pulls(rows, on_head, parts)


class Carried(NamedTuple):
    """A part of a payload that turns with the frame, which was balanced about its head's axis.

    The payload's center lies on the axis, as well as a hand can feel, wherever its parts are
    thought to lie: so all weigh there, and ``lever`` from that center adds to what each resists.
    """

    base: FloatArray
    shifts: list[Shift]
    slides: dict[str, FloatArray]
    lever: FloatArray


def carried(planter: Planter, placed: Sequence[Placed]) -> dict[str, Carried]:
    """Parts that a head holds to the frame, by their ids; nothing where it keeps them level."""
    on_head = [item for item in placed if item.axis is not None]
    if planter.keeps_level or not on_head:
        return {}
    former = _former(planter)
    balanced = former or [(planter, item) for item in on_head]
    errors = _errors(planter, former)
    found = {}
    for item in on_head:
        assert item.axis is not None
        same = [each for each in balanced if former or each[1].axis is item.axis]
        here = _center([(planter, each) for each in on_head if each.axis is item.axis])
        axis = item.axis
        found[item.part.id] = Carried(
            axis.datum + here - _center(same), [*axis.shifts, *errors], axis.slides,
            _lever(planter, item) - here,
        )  # fmt: skip
    return found


def _errors(planter: Planter, former: Sequence[tuple[Planter, Placed]]) -> list[Shift]:
    """How far off its axis it was balanced: across as while it is kept level, and along z."""
    key = _error_key(planter, former)
    up = planter.parameters.block(("on head, up", *key[1:]), [0.0], [ON_HEAD_SD_M])
    return [_balance_error(planter, former), (np.eye(3)[:, 2:], up)]


def _center(items: Sequence[tuple[Planter, Placed]]) -> FloatArray:
    """Center of a payload off its head's axis, by what is usual."""
    masses = [_mass(planter, item) for planter, item in items]
    return np.average([_lever(*each) for each in items], axis=0, weights=masses)


def _mass(planter: Planter, item: Placed) -> float:
    blocks = _log_mass(planter, item)
    mean = planter.parameters.mean
    return float(np.exp(sum(mean[list(block)].sum() for block in blocks)))


def _lever(planter: Planter, item: Placed) -> FloatArray:
    """A part's center from the axis of its head [m], by what is usual, its slides as they stand."""
    pull = _off_axis(planter, item)
    mean = planter.parameters.mean
    place = pull.base + sum((way @ mean[list(block)] for way, block in pull.shifts), np.zeros(3))
    return np.asarray(place + _slid(planter, pull))


def _log_mass(planter: Planter, item: Placed) -> list[Columns]:
    return planter.parameters.log_mass(item.part.component, planter.hung.day)


def _slid(planter: Planter, pull: _Pull) -> FloatArray:
    """How far slides have taken a part from its head's axis, where they stood."""
    stood = planter.hung.settings
    moved = (
        along * position_m(planter.scales[name], stood.get(name))
        for name, along in pull.slides.items()
    )
    return np.asarray(sum(moved, np.zeros(3)))


def _former(planter: Planter) -> list[tuple[Planter, Placed]]:
    """The payload as it was when it was balanced; nothing where it is balanced as it is."""
    build = planter.hung.balanced_with
    if build is None:
        return []
    before = Planter(planter.parameters, planter.hung._replace(build=build))
    placed = [before.place(part) for part in build.parts]
    return [(before, item) for item in placed if item.axis is not None]


def _balance_error(planter: Planter, former: Sequence[tuple[Planter, Placed]]) -> Shift:
    """How far off its axis a payload is that somebody balanced: one error of the whole."""
    key = _error_key(planter, former)
    return _ACROSS, planter.parameters.block(key, [0.0] * 2, [ON_HEAD_SD_M] * 2)


def _error_key(
    planter: Planter, former: Sequence[tuple[Planter, Placed]]
) -> tuple[str, str, str, tuple[str, ...]]:
    items = [item for _, item in former] or list(planter.placed.values())
    seats = tuple(item.seat for item in items if item.axis is not None)
    return ("on head", planter.build.id, planter.hung.day, seats)


def _off_axis(planter: Planter, item: Placed) -> _Pull:
    """A part's place from the axis of its head."""
    assert item.axis is not None
    own = item.shifts[len(item.axis.shifts) :]
    slides = {
        name: along - item.axis.slides.get(name, np.zeros(3)) for name, along in item.slides.items()
    }
    base = planter.usual_place(item) - item.axis.datum
    return _Pull(base, [*own, *planter.centers(item)], slides)


def _former_part(planter: Planter, item: Placed) -> _FormerPart:
    """With its slides where they stood."""
    pull = _off_axis(planter, item)
    base = np.asarray(pull.base + _slid(planter, pull))
    return _FormerPart(_log_mass(planter, item), base, pull.shifts)
