"""Stands: a build at one set of readings of its adjusters, on one day of being put together."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.estimation.forward import balance
from riglog.estimation.rows import Seats, seats
from riglog.estimation.tree import Tree, flatten
from riglog.records import PivotPair

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterator

    from riglog.estimation.kit import Hung, Kit
    from riglog.estimation.parameters import Parameters
    from riglog.mechanics.arrays import FloatArray

# An adjuster that nobody set may stand anywhere.
UNSET_SD_M = 0.3
# Whoever drops a rig both nose up and nose down asks whether it is in trim: what the log says of
# the slide that trims it is then what it was before somebody moved it. The two tell it themselves.
UNTRIMMED_SD_M = 0.01


class Stand(NamedTuple):
    """Where a tree stands.

    Attributes
    ----------
    positions_m : (a,) array
        What the readings of the adjusters say.
    settings : (a,) array of int
        Column of the error of each, shared by all that was read at this stand.
    seats
        Each part's share of the rigging error.
    """

    tree: Tree
    positions_m: FloatArray
    settings: npt.NDArray[np.intp]
    seats: Seats

    def positions(self, theta: FloatArray) -> FloatArray:
        """Where the adjusters really stand, (a,) [m], by the parameters theta (p,)."""
        return self.positions_m + theta[self.settings]


class Stands:
    """Trees by version and stands by where the rig stood, each made once and shared."""

    def __init__(self, parameters: Parameters) -> None:
        self.parameters = parameters
        self._trees: dict[tuple[Hashable, ...], Tree] = {}
        self._seats: dict[tuple[int, tuple[str, str]], Seats] = {}
        self._both_noses = _dropped_both_ways(parameters.kit)

    def tree(self, hung: Hung) -> Tree:
        """The flattened build; one for all days on which its components were the same things."""
        states = sorted(hung.build.states.items())
        key = (hung.version, hung.build.head, *states, *self._epochs(hung))
        if key not in self._trees:
            self._trees[key] = flatten(self.parameters, hung)
        return self._trees[key]

    def _epochs(self, hung: Hung) -> Iterator[str]:
        """Which thing each part was that day, and each type that one was like."""
        kit = self.parameters.kit
        names = [part.component for part in hung.build.parts] if kit.former else []
        for name in names:
            key, component = kit.component_on(name, hung.day)
            yield key
            if component.like is not None:
                names.append(component.like)

    def stand(self, hung: Hung) -> Stand:
        """Where a build stands, each setting with its own error."""
        tree = self.tree(hung)
        trims = next((i for i in range(len(tree.scales)) if _trims(tree, i)), None)
        columns = [
            self._setting(hung, name, scale.step, trims=index == trims)
            for index, (name, scale) in enumerate(zip(tree.adjusters, tree.scales, strict=True))
        ]
        return Stand(
            tree,
            tree.positions(hung),
            np.array(columns, dtype=np.intp),
            self._seats_of(tree, (hung.build.id, hung.day)),
        )

    def _seats_of(self, tree: Tree, session: tuple[str, str]) -> Seats:
        """Shares of the rigging error, by what the parts weigh before anything was logged."""
        key = id(tree), session
        if key not in self._seats:
            nowhere = np.zeros((1, len(tree.adjusters)))
            nominal = balance(tree, self.parameters.mean, nowhere)
            self._seats[key] = seats(tree, session, nominal.part_mass_kg)
        return self._seats[key]

    def _setting(self, hung: Hung, name: str, step: float, *, trims: bool) -> int:
        reading = hung.settings.get(name)
        sd = UNSET_SD_M if reading is None else step
        if isinstance(reading, PivotPair):
            # Each side was read by itself, and their mean is known better.
            sd = step / 2**0.5
        # The pivot is set anew for each version; a slide that reads the same was left alone.
        owner = hung.version if name == "pivot" else hung.build.id
        key = owner, name, str(reading), hung.day
        if trims and key in self._both_noses:
            sd = max(sd, UNTRIMMED_SD_M)
        return self.parameters.setting(key, sd)[0]


def _trims(tree: Tree, index: int) -> bool:
    """Whether an adjuster moves a part fore and aft."""
    moves = bool(np.any(tree.slides[:, index, 0]))
    return index != tree.pivot and tree.along(index) == 0 and moves


def _dropped_both_ways(kit: Kit) -> set[tuple[str, str, str, str]]:
    """Each slide's reading of a build and day at which it was dropped nose up and nose down."""
    noses: dict[tuple[str, str, str, str], set[str]] = defaultdict(set)
    for logged in kit.readings:
        drop = logged.reading
        if drop.kind == "drop" and drop.nose is not None and not drop.conditions:
            for name, reading in logged.hung.settings.items():
                key = logged.hung.build.id, name, str(reading), logged.hung.day
                noses[key].add(drop.nose)
    return {key for key, both in noses.items() if len(both) > 1}
