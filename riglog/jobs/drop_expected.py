"""What was to be expected of a drop test before it was known."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.claims import drop_factor
from riglog.estimation.heights import height, height_slopes, shortest_s
from riglog.estimation.noise import mean_sd, method_sd
from riglog.estimation.priors import LUMP
from riglog.jobs.answers import Value
from riglog.jobs.common import TELLS_NOTHING_M
from riglog.jobs.drop_times import drop_value

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.tree import Tree
    from riglog.jobs.drop_question import Test
    from riglog.records import Drop


class Prediction(NamedTuple):
    """What was expected of a drop before it was known, and how far off it was.

    ``tree`` is the build's, none of a rig that the drop begins.
    """

    expected_s: Value
    surprise: float | None
    gyration_m2: float
    tree: Tree | None = None


NOTHING = Prediction(Value(None, None, None), None, 0.0)


def prediction_of(hanging: Hanging, drop: Drop) -> Prediction:
    """Nothing is expected of a rig that nobody listed or timed."""
    k2 = float(hanging.hangs.gyration_m2[0])
    if not _told(hanging) or (depth := hanging.depth()).standard_deviation > TELLS_NOTHING_M:
        return NOTHING._replace(gyration_m2=k2)
    factor, time = drop_factor(drop), float(np.mean(drop.to_upright))
    timed = float(height(time, factor, k2))
    per_s = float(height_slopes(time, factor, k2)[0])
    sd = np.hypot(depth.standard_deviation, per_s * mean_sd(drop, method_sd(drop)))
    return Prediction(drop_value(depth, k2, factor), float((timed - depth.value) / sd), k2)


def _told(hanging: Hanging) -> bool:
    """Whether anybody said anything of the rig, and where its pivot stands."""
    hung = hanging.hung
    listed = bool(hung.build.parts or hanging.inference.kit.readings)
    return listed and "pivot" in hung.settings


def known_before(test: Test, prediction: Prediction) -> float:
    """k^2 as it was known before the drop, which an impossible time bends [m^2]."""
    return LUMP[test.start[0].type][2] ** 2 if test.start else prediction.gyration_m2


def too_fast(drop: Drop, gyration_m2: float) -> bool:
    """Whether no rig with that k^2 drops in this time, whatever its height."""
    return float(np.mean(drop.to_upright)) < float(shortest_s(drop_factor(drop), gyration_m2))
