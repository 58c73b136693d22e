"""What `shot` answers with."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Evidence, Named, Value, Warned
    from riglog.jobs.drop_curve import DropCurve
    from riglog.jobs.lens_table_answers import Mark
    from riglog.jobs.swap_answers import FirstMark
    from riglog.records import Adjuster


class Shot(NamedTuple):
    """What the shot asks: angles from upright [rad], a time, a grip, how the operator walks.

    ``held_rad`` is the tilt that the hand holds, ``grip_m`` how far from the pivot. ``over_s`` is
    how long the move takes, ``walk_m_s`` the speed that a start or stop gains or loses,
    ``accel_m_s2`` an acceleration held for ``for_s``, ``lean_rad`` a lean that it should hang at.
    None is what nobody asked.
    """

    held_rad: float
    grip_m: float
    walk_m_s: float
    from_rad: float | None = None
    to_rad: float | None = None
    over_s: float | None = None
    accel_m_s2: float | None = None
    for_s: float | None = None
    lean_rad: float | None = None


class Limit(NamedTuple):
    """Why a drop time is not for the shot: a code, and the figure that its words need.

    ``code`` is one of step (one step of the pivot turns it over), margin, band (friction holds it
    anywhere), swing (a start swings it far), travel.
    """

    code: str
    figure: float


class ShotRow(NamedTuple):
    """What one drop time means for the shot, each figure with its 95 % for a rig that drops in it.

    ``fall_s`` is the time to fall hands off through the move, None where it does not; ``swing_rad``
    the peak angle from a start or stop, ``accel_rad`` that under the held acceleration.
    ``band_rad`` is how far off it stays where it is put, ``up_s`` and ``down_s`` the drop time one
    step of the pivot higher and lower, None where it turns over. ``lean_to_m`` is the reading of
    the fore-aft slide at which it hangs at the lean asked for. ``limit`` says why it is not to be
    taken.
    """

    drop_s: float
    mark: Mark
    force_n: Value
    fall_s: Value
    swing_rad: Value
    accel_rad: Value | None
    band_rad: Value
    margin_kg: Value | None
    up_s: Value
    down_s: Value
    lean_to_m: Value | None
    limit: Limit | None


class Why(NamedTuple):
    """Why a drop time is recommended.

    ``code`` is move (it falls through the move by itself in the time), near (the nearest to that
    which no limit rules out), longest (the lightest to hold that no limit rules out) or none (each
    has a limit; the shortest). ``beside`` is the row that a limit ruled out instead.
    """

    code: str
    beside: ShotRow | None


class ShotAnswer(NamedTuple):
    """A row for each drop time, and the one to take.

    ``wanted_s`` is the drop time that the move wants, None where no move was asked. ``chosen`` is
    the recommended row's number, ``first`` the mark to start from for it with what is expected
    there, ``at_mark_s`` what to expect at its own mark. ``lean_scale`` is the slide of
    ``lean_to_m``.
    """

    named: Named
    shot: Shot
    sets: str
    scale: Adjuster
    stands_m: float | None
    rows: Sequence[ShotRow]
    wanted_s: float | None
    chosen: int
    why: Why
    first: FirstMark
    at_mark_s: Value
    lean_name: str | None
    lean_scale: Adjuster | None
    evidence: Evidence
    cautions: Sequence[str] = ()
    warnings: Sequence[Warned] = ()
    curve: DropCurve | None = None
