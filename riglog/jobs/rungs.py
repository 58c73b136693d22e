"""What one more measurement would bring: the next rung of the ladder.

Each rung is a row with a noise, as if it had been measured already: what it would take off the
variance of what was asked follows from their covariance, whatever its outcome.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.heights import FROM_HORIZONTAL, height_slopes
from riglog.estimation.interval import TWO_SIDED
from riglog.estimation.noise import METHOD_SD_S
from riglog.estimation.rows import Rows
from riglog.jobs.answers import NextRung

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.settle import Settled
    from riglog.mechanics.arrays import FloatArray

# How well a scale and an edge tell, in the parameters' own units: log of mass, and meters.
WEIGHED_SD = 0.002
ON_EDGE_SD_M = 0.001
# A second mark this far from the first tells k.
SECOND_MARK_M = 0.009
# Drop tests are timed three times, at about this drop time.
_REPEATS, _USUAL_S = 3, 2.5
# A rung that makes the interval less than this much narrower is not worth the climb.
_WORTH = 0.9


class _Rung(NamedTuple):
    """A measurement that could be made: its row, and the variance of its noise."""

    do: str
    what: str
    row: Rows
    noise: float


def next_rung(
    hanging: Hanging, settled: Settled, wanted_s: float | None, before: Hanging | None = None
) -> NextRung | None:
    """The measurement that narrows the wanted mark the most; None where none is worth it.

    Parameters
    ----------
    before
        The build before a swap, which could be timed before anything comes off.
    """
    lift = hanging.tree.lift
    if lift is None or lift not in settled.moved:
        return None
    where = np.flatnonzero(settled.moved == lift)
    asked = hanging.setting_rows(settled, wanted_s)
    row = Rows(asked.jacobian[where], asked.rigging[where], (asked.seats[where[0]],))
    variance = float(hanging.inference.posterior.covariance(row)[0, 0])
    rungs = list(_rungs(hanging, before))
    left = [variance - _gain(hanging, row, rung) for rung in rungs]
    best = int(np.argmin(left)) if left else -1
    if best < 0 or left[best] > _WORTH**2 * variance:
        return None
    now, then = (TWO_SIDED * max(each, 0.0) ** 0.5 for each in (variance, left[best]))
    return NextRung(rungs[best].do, rungs[best].what, now, then)


def _rungs(hanging: Hanging, before: Hanging | None) -> Iterator[_Rung]:
    if before is not None and "pivot" in before.hung.settings:
        yield _drop(before, "drop", 0.0)
    upright = hanging.tree.lift == hanging.tree.pivot
    if upright and not hanging.hung.build.parts and "pivot" in hanging.hung.settings:
        yield _drop(hanging, "two-marks", SECOND_MARK_M)
    parameters, day = hanging.inference.parameters, hanging.hung.day
    for part in hanging.hung.build.parts:
        name = part.component
        if parameters.kit.components[name].mass is None:
            columns = [block[0] for block in parameters.log_mass(name, day)]
            yield _Rung("weigh", name, _columns(hanging, columns), WEIGHED_SD**2)
        # How high a payload's parts lie does not matter: it was balanced about its head's axis.
        if part.id not in hanging.tree.payload:
            columns = [block[2] for block in parameters.cg(name, day)]
            yield _Rung("edge", name, _columns(hanging, columns), ON_EDGE_SD_M**2)


def _drop(hanging: Hanging, do: str, higher_m: float) -> _Rung:
    """Three timings of a build, with its pivot that much further up, as one height."""
    tree = hanging.tree
    positions = hanging.positions_m.copy()
    positions[tree.pivot] += tree.up * higher_m
    rows = hanging.depth_rows(positions, exact=[tree.pivot])
    k2 = float(hanging.hangs.gyration_m2[0])
    per_s = float(height_slopes(_USUAL_S, FROM_HORIZONTAL, k2)[0])
    timing = METHOD_SD_S["stopwatch"] ** 2 / _REPEATS
    noise = per_s**2 * timing + hanging.step_m(tree.pivot) ** 2
    return _Rung(do, hanging.hung.build.id, rows, noise)


def _columns(hanging: Hanging, columns: list[int]) -> Rows:
    """The sum of some parameters, as a row."""
    jacobian = np.zeros((1, len(hanging.inference.parameters)))
    jacobian[0, columns] = 1.0
    return Rows(jacobian, np.zeros((1, 3)), ({},))


def _gain(hanging: Hanging, row: Rows, rung: _Rung) -> float:
    """Variance that the rung would take off the asked row."""
    both = Rows(
        np.concatenate([row.jacobian, rung.row.jacobian]),
        np.concatenate([row.rigging, rung.row.rigging]),
        (*row.seats, *rung.row.seats),
    )
    covariance: FloatArray = hanging.inference.posterior.covariance(both)
    return float(covariance[0, 1] ** 2 / (covariance[1, 1] + rung.noise))
