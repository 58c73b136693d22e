"""What a lean that was read is answered with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Evidence, Named, Value, Warned
    from riglog.jobs.nose_answers import Slid
    from riglog.records import Adjuster, Lean, Setting

Attention = Literal["rig", "gimbal", "both", "none"]


class Sides(NamedTuple):
    """How a ring's two side pivots go so that it hangs level.

    ``left_m`` and ``right_m`` are changes of their readings, half each way, so that their mean
    stays; ``left_to_m`` and ``right_to_m`` where that takes them. None where nobody said how far
    apart the pivots are, or what they read. ``unlike_rad`` is the cant beyond what the readings
    tell: then the guides are not alike, or the frame is twisted.
    """

    adjuster: Adjuster
    left_m: float | None
    right_m: float | None
    left_to_m: float | None
    right_to_m: float | None
    unlike_rad: float | None


class Way(NamedTuple):
    """One way that it leans: fore and aft, or to the side.

    ``rig_m`` is how far the rig's center of gravity is off the axis that it pans about, forward or
    to the left, and ``rig_rad`` what it leans by that; ``gimbal_m`` and ``gimbal_rad`` the same of
    the gimbal's tilt axis, None where no reading tells it from the rig. A lean is positive with
    the nose down or the right side low. ``slide`` takes the rig's share out. To the side a ring
    hangs as its two pivots stand: ``sides`` levels it, and its center of gravity tells nothing.
    """

    along: Literal["lean", "side"]
    read_rad: float
    rig_m: Value
    rig_rad: float
    gimbal_m: Value | None
    gimbal_rad: float | None
    attention: Attention
    slide: Slid | None
    sides: Sides | None = None


class LeanAnswer(NamedTuple):
    """A lean recorded, and what of it is the rig's and what its gimbal's.

    ``reverse`` says that a reading with the rig panned half round would tell them apart.
    """

    named: Named
    recorded: str
    reading: Lean
    pivot: Adjuster
    mark: Setting | None
    ways: Sequence[Way]
    reverse: bool
    evidence: Evidence
    cautions: Sequence[str] = ()
    warnings: Sequence[Warned] = ()
