"""Stands: a build at one set of readings of its adjusters, on one day of being put together."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.estimation.forward import balance
from riglog.estimation.rows import Seats, seats
from riglog.estimation.tree import Tree, flatten
from riglog.records import PivotPair

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterator

    from riglog.estimation.kit import Hung
    from riglog.estimation.parameters import Parameters
    from riglog.mechanics.arrays import FloatArray

# An adjuster that nobody set may stand anywhere.
UNSET_SD_M = 0.3


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
        columns = [
            self._setting(hung, name, scale.step)
            for name, scale in zip(tree.adjusters, tree.scales, strict=True)
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

    def _setting(self, hung: Hung, name: str, step: float) -> int:
        reading = hung.settings.get(name)
        sd = UNSET_SD_M if reading is None else step
        if isinstance(reading, PivotPair):
            # Each side was read by itself, and their mean is known better.
            sd = step / 2**0.5
        # The pivot is set anew for each version; a slide that reads the same was left alone.
        owner = hung.version if name == "pivot" else hung.build.id
        return self.parameters.setting((owner, name, str(reading), hung.day), sd)[0]
