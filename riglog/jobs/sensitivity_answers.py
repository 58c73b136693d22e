"""What `sensitivity` answers with."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Evidence, Named, Value, Warned
    from riglog.records import Adjuster


class Shift(NamedTuple):
    """What a small change of the build does.

    ``what`` is place (100 g there), off (the part comes off), on (it goes on) or swap (it goes on
    instead), ``name`` a place (lens-front, camera-top, camera-back, base) or a part, ``old`` what
    it replaces. ``mass_kg`` is the change of mass. ``lean_rad`` is how it hangs if nobody trims it
    again, positive with the nose down and without a bound where it may turn over; ``turns_over``
    says it does not hang. ``lift_m`` and ``slide_m`` are the moves, as positions of what sets the
    drop and of what trims it, that bring it back to its drop time and to upright.
    """

    what: str
    name: str
    old: str
    mass_kg: float
    lean_rad: Value
    turns_over: bool
    lift_m: Value
    slide_m: Value | None


class SensitivityAnswer(NamedTuple):
    """Small changes, those of 100 g at each place first, about the drop time ``drop_s``.

    ``sets`` is the name of what sets the drop time, ``scale`` its scale. ``slide`` is what trims it
    fore and aft, ``slide_name`` its name; None where nothing does.
    """

    named: Named
    drop_s: float
    lean_now_rad: float
    sets: str
    scale: Adjuster
    slide_name: str | None
    slide: Adjuster | None
    shifts: Sequence[Shift]
    evidence: Evidence
    warnings: Sequence[Warned] = ()
