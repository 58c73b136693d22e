"""What `drop` answers with."""

from collections.abc import Sequence
from typing import NamedTuple

from riglog.jobs.answers import Evidence, Move, Named, NextRung, Value, Vernier, Warned
from riglog.jobs.nose_answers import Off
from riglog.jobs.timing_answers import Timed
from riglog.records import Adjuster, PivotPair


class Nudge(NamedTuple):
    """Drop times with the pivot ``by_m`` higher and lower, as the world has it.

    None where it turns over.
    """

    by_m: float
    up_s: float | None
    down_s: float | None


class DropAnswer(NamedTuple):
    """A drop test recorded, held against what was expected, and the fine move that follows.

    ``surprise`` counts standard deviations between measured and expected. ``move_m`` is the move
    to the wanted drop time, ``move`` the same with its bounds and ``to_m`` where it leads;
    ``set_m`` is where to go now: ``to_m`` at a step of the scale, or if ``careful`` a safe mark on
    the way. ``at_target_s``, ``margin_kg`` and ``depth_m`` are those at ``set_m``, or where it
    stands if nothing moves. ``nudge`` is for whoever has not said what is wanted. ``timed`` is how
    the times were taken. ``off`` is how far off trim it hangs, where its nose was told. ``sides``
    is where a ring's two pivots stood, if each was told; ``mark_m`` is their mean. ``lenses`` are
    those that the build has, for whoever timed another one. ``sets`` is the name of what sets the
    drop time, ``scale`` its scale and ``stands_m`` where it stood: the moves are its own.
    ``taken_back`` is the slide's move that goes with them, so that it stays in trim.
    """

    named: Named
    recorded: str
    started: bool
    pivot: Adjuster
    mark_m: float | None
    sets: str
    scale: Adjuster
    stands_m: float | None
    measured_s: float
    times_s: tuple[float, ...]
    scatter_s: float | None
    predicted_s: Value
    surprise: float | None
    wanted_s: float | None
    move_m: float | None
    move: Value | None
    to_m: float | None
    set_m: float | None
    toward: str
    at_target_s: Value | None
    careful: bool
    margin_kg: float | None
    depth_m: float | None
    vernier: Vernier | None
    next_rung: NextRung | None
    evidence: Evidence
    cautions: Sequence[str] = ()
    warnings: Sequence[Warned] = ()
    nudge: Nudge | None = None
    timed: Timed | None = None
    off: Off | None = None
    sides: PivotPair | None = None
    lenses: Sequence[str] = ()
    taken_back: Sequence[Move] = ()
