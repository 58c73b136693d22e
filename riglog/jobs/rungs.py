"""What one more measurement would bring: the next rung of the ladder."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from riglog.estimation.inference import Hanging
from riglog.estimation.rows import Rows
from riglog.estimation.settle import Settled
from riglog.estimation.wild import mixture
from riglog.jobs.answers import NextRung

FloatArray = npt.NDArray[np.float64]
# How well a scale and an edge tell, in the parameters' own units: log of mass, and meters.
WEIGHED_SD = 0.002
ON_EDGE_SD_M = 0.001
# A rung that makes the interval less than this much narrower is not worth the climb.
_WORTH = 0.9
_TWO_SIDED = 1.959963984540054


def next_rung(hanging: Hanging, settled: Settled, wanted_s: float | None) -> NextRung | None:
    """The weighing or balancing on an edge that narrows the pivot's interval the most.

    None where none narrows it by a tenth: then the next drop test is the next rung.
    """
    where = np.flatnonzero(settled.moved == hanging.tree.pivot)
    if not where.size:
        return None
    asked = hanging.setting_rows(settled, wanted_s)
    row = Rows(asked.jacobian[where], asked.rigging[where], (asked.seats[where[0]],))
    inference = hanging.inference
    now = _sd(mixture(inference.posterior, inference.why, row).covariance)
    best: NextRung | None = None
    for do, what, columns, sd in _candidates(hanging):
        then = float(np.sqrt(max(now**2 - _gain(hanging, row, columns, sd), 0.0)))
        if then < _WORTH * now and (best is None or then < best.then_m / _TWO_SIDED):
            best = NextRung(do, what, now * _TWO_SIDED, then * _TWO_SIDED)
    return best


def _sd(covariance: FloatArray) -> float:
    return float(np.sqrt(max(float(np.mean(covariance[:, 0, 0])), 0.0)))


def _candidates(hanging: Hanging) -> Iterator[tuple[str, str, tuple[int, ...], float]]:
    """What could be measured of each component: how, whose, the columns, and how well."""
    parameters, day = hanging.inference.parameters, hanging.hung.day
    for part in hanging.hung.build.parts:
        name = part.component
        if parameters.kit.components[name].mass is None:
            yield "weigh", name, tuple(b[0] for b in parameters.log_mass(name, day)), WEIGHED_SD
        yield "edge", name, tuple(b[2] for b in parameters.cg(name, day)), ON_EDGE_SD_M


def _gain(hanging: Hanging, row: Rows, columns: tuple[int, ...], sd: float) -> float:
    """Variance that measuring the sum of these parameters would take off the asked row."""
    jacobian = np.zeros((1, row.jacobian.shape[1]))
    jacobian[0, list(columns)] = 1.0
    both = Rows(
        np.concatenate([row.jacobian, jacobian]),
        np.concatenate([row.rigging, np.zeros((1, 3))]),
        (*row.seats, {}),
    )
    covariance = hanging.inference.posterior.covariance(both)
    return float(covariance[0, 1] ** 2 / (covariance[1, 1] + sd**2))
