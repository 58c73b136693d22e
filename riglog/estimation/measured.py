"""Figures of a component, sharpened by what was measured on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.priors import GIVEN_INERTIA_SD
from riglog.mechanics.together import Together, together

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.priors import Figures
    from riglog.records import Component, Vector
    from riglog.records.component import Figure
    from riglog.records.measurements import CenterOfGravity, Inertia

_AXES = ("x", "y", "z")


class Measured(NamedTuple):
    """What was measured on one component by itself, beside its mass."""

    centers: Sequence[CenterOfGravity] = ()
    inertias: Sequence[Inertia] = ()

    def tells(self, figure: Figure) -> bool:
        """Whether a figure was measured."""
        found = {"mass": (), "cg": self.centers, "inertia": self.inertias}[figure]
        return len(found) > 0


def known_center(
    component: Component, figures: Figures, measured: Measured
) -> tuple[Vector, Vector]:
    """Center of gravity [m] along x, y, z by document and measurements, and how well each."""
    x, y, z = (_along(axis, component, figures, measured) for axis in range(3))
    return (x.value, y.value, z.value), (x.sd, y.sd, z.sd)


def _along(axis: int, component: Component, figures: Figures, measured: Measured) -> Together:
    told = [(each.at, each.sd) for each in measured.centers if each.along == _AXES[axis]]
    before = (figures.cg_m[axis], figures.cg_sd_m[axis])
    if not told:
        return Together(*before, 1.0)
    if component.cg is not None:
        return together(*np.array([*told, before]).T)
    # What nobody stated is a guess from the size: it cannot contradict what was measured.
    found = together(*np.array(told).T)
    weights = np.square([found.sd, before[1]]) ** -1.0
    mean = float(weights @ np.array([found.value, before[0]]) / weights.sum())
    return Together(mean, float(weights.sum() ** -0.5), found.birge)


def informed(component: Component, figures: Figures, measured: Measured) -> Figures:
    """The figures of a component's document, with what was measured on it."""
    if measured.centers:
        cg, sd = known_center(component, figures, measured)
        figures = figures._replace(cg_m=cg, cg_sd_m=sd)
    return _with_inertia(figures, measured.inertias) if measured.inertias else figures


def _with_inertia(figures: Figures, inertias: Sequence[Inertia]) -> Figures:
    """One scale on the whole tensor: other axes follow the measured ones to a share."""
    mass = np.exp(figures.log_mass)
    scales, sds = [0.0], [figures.log_inertia_sd]
    for each in inertias:
        nominal = mass * figures.inertia_m2[(_AXES.index(each.about),) * 2]
        scales.append(float(np.log(each.moment / nominal)))
        sds.append(float(np.hypot(each.sd / each.moment, GIVEN_INERTIA_SD)))
    weights = 1.0 / np.square(sds)
    scale = float(weights @ np.array(scales) / weights.sum())
    return figures._replace(
        inertia_m2=figures.inertia_m2 * np.exp(scale), log_inertia_sd=float(weights.sum() ** -0.5)
    )
