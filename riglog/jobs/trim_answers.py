"""What `trim` and `spin` answer with."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Evidence, Move, Named, Value, Warned
    from riglog.jobs.swap_answers import FirstMark
    from riglog.records import Adjuster


class Level(NamedTuple):
    """How a rig hangs at rest and in a pan, each angle with its 95 % bounds.

    ``lean_rad`` is positive with the nose down, ``side_rad`` with the right side low; None where
    it does not hang. ``tilt_rad`` and ``tilt_side_rad`` are the tilt of the principal axis, which
    it settles near in a fast pan, with the same signs. ``critical_rad_s`` is the pan rate at which
    inertia takes over from gravity, None where there is none, and of a ring.
    """

    lean_rad: float | None
    side_rad: float | None
    tilt_rad: Value
    tilt_side_rad: Value
    critical_rad_s: float | None


class Inertia(NamedTuple):
    """About the center of gravity [kg m^2]: roll about x, tilt about y, pan about z."""

    roll_kg_m2: float
    tilt_kg_m2: float
    pan_kg_m2: float


class Panned(NamedTuple):
    """How it hangs in a steady pan, by the full expression.

    ``near`` the critical rate nobody can say, and the angles are None.
    """

    rate_rad_s: float
    lean_rad: float | None
    side_rad: float | None
    near: bool


class TrimAnswer(NamedTuple):
    """The moves that hang it upright and null the tilt of its principal axis.

    ``moves`` holds every adjuster, the pivot as it goes for ``wanted_s``, None where nobody said;
    ``now`` and ``then`` how it hangs before and after, ``panned`` and ``panned_then`` at the pan
    rate asked for. ``off_m`` is what trim is left off, along x and y. ``last`` is the inertia of
    the build's last version with other parts, ``last_version`` its number. ``tilt_counts`` says
    whether the moves were to null the tilt too.
    """

    named: Named
    moves: Sequence[Move]
    sets: str
    now: Level
    then: Level
    off_m: tuple[float, float]
    tilt_counts: bool
    wanted_s: float | None
    drop_now_s: Value | None
    first: FirstMark | None
    inertia: Inertia
    inertia_then: Inertia
    last: Inertia | None
    last_version: int | None
    panned: Panned | None
    panned_then: Panned | None
    evidence: Evidence
    cautions: Sequence[str] = ()
    warnings: Sequence[Warned] = ()


class SpinAnswer(NamedTuple):
    """What the lens end did in a pan, recorded; ``expected_rad`` is the lean expected before.

    ``tilt_before_rad`` and ``tilt_rad`` are the tilt of the principal axis without and with it.
    """

    named: Named
    pivot: Adjuster
    recorded: str
    lens_end: str
    rate_rad_s: float
    expected_rad: float | None
    critical_rad_s: float | None
    tilt_before_rad: Value
    tilt_rad: Value
    evidence: Evidence
    warnings: Sequence[Warned] = ()
