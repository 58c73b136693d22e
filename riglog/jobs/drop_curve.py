"""Drop time against the pivot's mark, with what was logged: what a small plot shows."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.planting import reading_m
from riglog.jobs.drop_times import drop_between
from riglog.mechanics.pendulum import HORIZONTAL
from riglog.records.readings.measured import mean_s

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.jobs.answers import Value
    from riglog.records import Adjuster

# As many marks as the widest plot has columns.
_MARKS = 72
# The plot reaches from a drop time of this many seconds to the other.
_FROM_S, _TO_S = 1.5, 10.0
_MOST_DEPTH_SHARE = 0.9


class DropCurve(NamedTuple):
    """Drop times expected at marks of the scale that sets them [m], and those logged there.

    ``drop_s`` holds for each of ``marks_m`` the value and its 95 %, None where it turns over.
    ``logged`` are (mark, mean time) of the build as it is made now, ``here_m`` where it stands.
    """

    scale: Adjuster
    marks_m: Sequence[float]
    drop_s: Sequence[Value]
    logged: Sequence[tuple[float, float]]
    here_m: float | None


def drop_curve(hanging: Hanging) -> DropCurve | None:
    """The curve of a build about the marks that matter; None where it has no mark yet."""
    tree, settings, index = hanging.tree, hanging.hung.settings, hanging.tree.lift
    if index is None or not {"pivot", tree.adjusters[index]} <= settings.keys():
        return None
    scale, here = tree.scales[index], settings[tree.adjusters[index]]
    k2 = float(hanging.hangs.gyration_m2[0])
    depth = hanging.depth(exact=[index]).widened(hanging.step_m(index))
    logged = tuple(_logged(hanging, tree.adjusters[index]))
    per_travel = hanging.depth_per_m(index)
    low, high = _reach(per_travel, depth.value, k2)
    bounds = (depth.value, *depth.interval())
    marks, drops = [], []
    for change in np.linspace(low, high, _MARKS):
        position = float(hanging.positions_m[index] + change)
        marks.append(scale.scale.reading(position))
        value, low, high = (each + per_travel * float(change) for each in bounds)
        drops.append(drop_between(value, low, high, k2))
    return DropCurve(scale, marks, drops, logged, reading_m(here))


def _reach(per_travel: float, depth_m: float, gyration_m2: float) -> tuple[float, float]:
    """Lowest and highest change of position [m] that the plot shows, in order."""
    from riglog.estimation.heights import FROM_HORIZONTAL, height

    most = float(height(_FROM_S, FROM_HORIZONTAL, gyration_m2))
    least = float(height(_TO_S, FROM_HORIZONTAL, gyration_m2))
    most = min(most, _MOST_DEPTH_SHARE * gyration_m2**0.5)
    ends = [(each - depth_m) / per_travel for each in (least, max(most, depth_m, 2 * least))]
    return min(*ends, 0.0), max(*ends, 0.0)


def _logged(hanging: Hanging, name: str) -> Iterator[tuple[float, float]]:
    """Drops from horizontal of the build as it is made now, by the setting of that name."""
    for each in hanging.inference.kit.readings:
        reading, hung = each.reading, each.hung
        if reading.kind == "drop" and hung.build.parts == hanging.hung.build.parts:
            same = hung.build.id == hanging.hung.build.id and reading.release == HORIZONTAL
            if same and name in hung.settings:
                yield (
                    reading_m(hung.settings[name]),
                    mean_s(reading.to_upright),
                )
