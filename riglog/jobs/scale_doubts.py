"""What is doubtful about a scale: its last check, and a drift against everything else."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.priors import together
from riglog.jobs.answers import Warned
from riglog.library.measuring import check_error, known_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.logbook import Reader
    from riglog.records.weighing_scale import WeighingScale

# So many standard deviations are not chance.
SURPRISING = 3.0
# The newest weighings on the scale that are looked at for its drift, and how many things at least.
AMONG, ENOUGH = 40, 4
_YEAR_DAYS = 366


def scale_warnings(scale: WeighingScale, on: str, log: Reader) -> Iterator[Warned]:
    """What is doubtful about a scale on some day: its last check, and a drift against others."""
    if scale.checked is None:
        yield Warned("scale_unchecked", scale.id)
    elif (date.fromisoformat(on[:10]) - date.fromisoformat(scale.checked)).days > _YEAR_DAYS:
        yield Warned("scale_check_old", scale.id)
    off = abs(check_error(scale))
    if scale.reference and off * scale.reference > max(scale.linearity, scale.resolution):
        yield Warned("scale_off", scale.id, scale.showed, scale.reference)
    drift = _drift(scale, log)
    if drift is not None:
        yield Warned("scale_drifts", scale.id, drift)


def _drift(scale: WeighingScale, log: Reader) -> float | None:
    """Share by which a scale shows more than all else that is known, if that is no chance."""
    names = {entry.subject for entry in log.weighings_on(scale.id, limit=AMONG)}
    apart = [each for name in sorted(names) if (each := _apart(scale, name, log)) is not None]
    if len(apart) < ENOUGH:
        return None
    shares, sds = np.array(apart).T
    weights = 1 / np.square(sds)
    mean, sd = float(weights @ shares / weights.sum()), float(weights.sum() ** -0.5)
    return mean if abs(mean) > SURPRISING * sd else None


def _apart(scale: WeighingScale, name: str, log: Reader) -> tuple[float, float] | None:
    """Share by which a scale shows more of a component than all else says, and its deviation."""
    known = known_of(log, name).weighings
    here = [each for each in known if each.scale == scale.id]
    rest = [each for each in known if each.scale != scale.id]
    if not here or not rest:
        return None
    on_it, other = together(here), together(rest)
    # Its own band is where a drift would hide: only the scatter of its readings counts.
    sd = np.hypot(other.sd, scale.resolution) / other.value
    return on_it.value / other.value - 1.0, float(sd)
