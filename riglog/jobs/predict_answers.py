"""What `predict` answers with."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from riglog.jobs.answers import Evidence, Load, Named, NextRung, Value, Warned
from riglog.jobs.remembered_answers import Remembered
from riglog.records import Adjuster, PivotPair

if TYPE_CHECKING:
    from riglog.jobs.drop_curve import DropCurve
    from riglog.jobs.friction_answers import Friction


class PredictAnswer(NamedTuple):
    """How a build hangs where it stands.

    ``side_rad`` is positive with its right side low; on a ring it is the cant that two pivots at
    different readings give it. ``sides`` is where those stand, if each was told. ``friction`` is
    what is known of friction, ``curve`` the drop times at other marks. ``worn_kg`` is all that is
    carried, where arm or vest are listed; ``remembered`` what else was once set for about this
    mass.
    """

    named: Named
    pivot_m: float | None
    pivot: Adjuster
    mass_kg: float
    mass_sd_kg: float
    cg_m: tuple[float, float, float]
    gyration_m: float
    drop_s: Value
    lean_rad: Value
    depth_m: Value
    margin_kg: float | None
    loads: Sequence[Load]
    next_rung: NextRung | None
    evidence: Evidence
    warnings: Sequence[Warned] = ()
    side_rad: Value = Value(None, None, None)
    sides: PivotPair | None = None
    friction: "Friction | None" = None
    curve: "DropCurve | None" = None
    worn_kg: float | None = None
    remembered: Sequence[Remembered] = ()
