"""Readings so far off that no fit should begin with them.

A wrong digit of a mark, or a time that no rig has, is ten times further off than a mark misread.
Believed at first, it drags the fit to where nothing is linear any more and the good readings look
wild. So it is looked for where the priors are, each reading held against all others, the worst
first, and is given a variance as large as it is off.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.posterior import linear
from riglog.estimation.wild import MAY_BE_WILD, WILD_SD_M

if TYPE_CHECKING:
    from riglog.estimation.observations import Observations
    from riglog.mechanics.arrays import FloatArray

# Further off than this, and than this many standard deviations, is no misread mark.
_GROSS_M, _GROSS_SD = 4 * WILD_SD_M, 5.0
# A build's only reading stands against documents that may lack a part; no part is off by more.
_NO_PART_M = 0.25


def slips(observations: Observations) -> dict[int, float]:
    """Claims that are grossly off, by index, and the variance [m^2] that takes them out."""
    suspects = {
        index: observations.readings[claim.reading].hung.build.id
        for index, claim in enumerate(observations.claims)
        if claim.kind in MAY_BE_WILD or claim.kind == "friction"
    }
    found: dict[int, float] = {}
    while suspects:
        off, surprise = _against_the_others(observations, found)
        builds = list(suspects.values())
        gross = [
            index for index, build in suspects.items()
            if abs(off[index]) > _least(observations.claims[index].kind, builds.count(build))
            and surprise[index] > _GROSS_SD
        ]  # fmt: skip
        if not gross:
            break
        worst = max(gross, key=lambda index: surprise[index])
        found[worst] = float(off[worst] ** 2)
        del suspects[worst]
    return found


def _least(kind: str, of_build: int) -> float:
    """How far off [m] a claim has to be; friction is small beside any height."""
    if kind == "friction":
        return 0.0
    return _GROSS_M if of_build > 1 else _NO_PART_M


def _against_the_others(
    observations: Observations, found: dict[int, float]
) -> tuple[FloatArray, FloatArray]:
    """How far each claim is off what priors and all other claims say, and in standard deviations.

    With S the inverse of the innovations' covariance and r the innovations these are u / S_ii and
    |u| / sqrt(S_ii), u = S r.
    """
    variance = observations.stands.parameters.variance
    extra = np.zeros(len(observations.claims))
    extra[list(found)] = list(found.values())
    precision, innovation = linear(observations.at_priors, np.zeros(len(variance)), variance, extra)
    pulled, own = precision @ innovation, np.diag(precision)
    return pulled / own, np.abs(pulled) / np.sqrt(own)
