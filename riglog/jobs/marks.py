"""Where pivot and slides go for many drop times, on the scales that people read."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.jobs.lens_table_answers import Mark, Slide
from riglog.jobs.placing import SURELY, settable
from riglog.jobs.travel import beyond_travel

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.lineup import Lineup, Told


class Marks:
    """Every figure of a lineup of stands, computed at once and read one by one.

    ``lift`` is the adjuster of each that sets its drop time: the marks are on its scale.
    """

    def __init__(
        self, lineup: Lineup, told: Told, ends: Sequence[Hanging], lift: Sequence[int]
    ) -> None:
        self.lineup, self.told, self._ends, self._lift = lineup, told, ends, lift
        self._way = [e.depth_per_m(i) > 0 for e, i in zip(ends, lift, strict=True)]
        self.value = told.estimates.value
        self.low, self.high = told.estimates.interval()
        # From here on it is surely bottom heavy, with the error of setting it.
        steps = np.array([e.tree.scales[i].step for e, i in zip(ends, lift, strict=True)])
        surely = SURELY if self._way[0] else 1 - SURELY
        self.safe = told.neutral_quantile(surely, steps)

    def slides(self, number: int) -> list[Slide]:
        """Where what moves along x and y goes for stand number ``number``."""
        end, free = self._ends[number], self.lineup.reduced.free[number]
        return [
            Slide(
                end.tree.adjusters[free[axis]],
                *self._scaled(end, int(free[axis]), self.told.across(number, axis)),
            )
            for axis in (0, 1)
            if free[axis] >= 0
        ]

    def marks(self, number: int) -> list[Mark | None]:
        """Where what sets the drop goes for each time; None where no mark drops so soon."""
        return [
            self._mark(number, drop) if self.lineup.reached[number, drop] else None
            for drop in range(self.told.drops)
        ]

    def _mark(self, number: int, drop: int) -> Mark:
        end, quantity = self._ends[number], self.told.upright(number, drop)
        index = self._lift[number]
        scale = end.tree.scales[index]
        to, at, low, high, beyond = self._scaled(end, index, quantity)
        safe, wanted = float(self.safe[number]), float(self.value[quantity])
        position = max(safe, wanted) if self._way[number] else min(safe, wanted)
        way = 1 if self._way[number] == (scale.scale.sign > 0) else -1
        first = settable(scale, scale.scale.reading(position), way)
        return Mark(to, at, low, high, first - beyond_travel(scale, first), beyond)

    def _scaled(self, end: Hanging, index: int, quantity: int) -> tuple[float, ...]:
        """A position and its bounds as readings, and how far it is past the end of the travel."""
        scale = end.tree.scales[index]
        to, *ends = (
            scale.scale.reading(float(each[quantity])) for each in (self.value, self.low, self.high)
        )
        return (to, settable(scale, to), *sorted(ends), beyond_travel(scale, to))
