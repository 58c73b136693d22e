"""What is known of friction, and what a reading that tells it is answered with."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Evidence, Named, Value, Warned
    from riglog.records import Adjuster, Hold, Setting, Swing


class Friction(NamedTuple):
    """Friction at the pivot where a rig stands.

    ``told`` says that readings told it; else it is what is usual. ``hold_rad`` is the tilt from
    rest within which the rig stays put, a right angle where that is any. ``adds_s`` is by how much
    it lengthens the drop from horizontal.
    """

    torque_n_m: Value
    hold_rad: Value
    told: bool
    adds_s: float | None


class FrictionAnswer(NamedTuple):
    """A reading that tells friction recorded, and what is known of it and the drop time then.

    ``before`` and ``expected_s`` are what was known without. ``period_s`` is that of swings.
    ``surprise`` counts standard deviations between the friction read and that known before.
    """

    named: Named
    recorded: str
    reading: Swing | Hold
    pivot: Adjuster
    mark: Setting | None
    period_s: float | None
    before: Friction
    after: Friction
    expected_s: Value
    drop_s: Value
    evidence: Evidence
    warnings: Sequence[Warned] = ()
    surprise: float | None = None


class SwingAnswer(FrictionAnswer):
    """Of swings."""

    __slots__ = ()


class HoldAnswer(FrictionAnswer):
    """Of a hold band."""

    __slots__ = ()
