"""`weigh` with a whole build on the scale: against the sum of its parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.inference import Inference
from riglog.estimation.interval import TWO_SIDED
from riglog.jobs.dated import odd_date
from riglog.jobs.evidence import evidence_of
from riglog.jobs.measure_answers import Figure, WholeAnswer
from riglog.jobs.scale_doubts import scale_warnings
from riglog.library.evidence import kit_for
from riglog.library.measuring import scale_of, weighed
from riglog.logbook.entry import now
from riglog.records import Weight

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.library import Library, Standing
    from riglog.records.measurements import Weighing


def weigh_whole(library: Library, build: str, weighing: Weighing) -> WholeAnswer:
    """Record the mass of a build as it hangs, and hold it against what its parts add up to.

    ``weighing`` is of the build as if it were one component.

    Raises
    ------
    ForkError
        If the build has two heads.
    """
    scale = scale_of(library.logbook, weighing.scale, {})
    told = weighed(weighing, scale)
    measured = Figure(told.mass_kg, told.sd_kg)
    standing = library.standing(build, weighing.on)
    hanging = _by_parts(library, standing, weighing.on[:10])
    weight = hanging.weight()
    summed = Figure(weight.value, weight.standard_deviation)
    reading = Weight(
        build=build, on=weighing.on, mass=measured.value, sd=measured.sd, note=weighing.note
    )
    entry = library.record_reading(reading).entry
    evidence = evidence_of(hanging)
    warnings = list(odd_date(weighing.on, now()))
    if scale:
        warnings += scale_warnings(scale, weighing.on, library.logbook)
    tolerance = TWO_SIDED * float(np.hypot(measured.sd, summed.sd))
    return WholeAnswer(
        build, standing.number, entry, measured, summed, tolerance,
        evidence.unweighed, evidence.unlisted, warnings,
        hanging.tree.scales[hanging.tree.pivot].unit,
    )  # fmt: skip


def _by_parts(library: Library, standing: Standing, day: str) -> Hanging:
    """The build as its parts alone have it, without any reading of a whole rig."""
    hung = standing.hung(day)
    kit = kit_for(library.logbook, [hung], [])._replace(readings=())
    return Inference(kit, [hung]).stands[0]
