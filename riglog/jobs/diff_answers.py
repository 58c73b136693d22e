"""What `diff` answers: what is different, and what each difference does to the balance."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.version_answers import Described
    from riglog.records import Adjuster


class Hangs(NamedTuple):
    """How a build hangs: its whole mass, the center of gravity in the rig frame, and the rest.

    ``depth_m`` is how far the pivot is above the center, ``forward_m`` how far the center lies
    ahead of it. ``lean_rad`` and ``drop_s`` are None where it turns over or no pivot is set,
    ``mark_m`` where no mark gives the wanted drop time.
    """

    mass_kg: float
    cg_m: tuple[float, float, float]
    depth_m: float
    forward_m: float
    lean_rad: float | None
    drop_s: float | None
    mark_m: float | None


class Effect(NamedTuple):
    """What a difference does, each as the value after it less the one before; None is unknown."""

    mass_kg: float
    cg_m: tuple[float, float, float]
    depth_m: float
    forward_m: float
    lean_rad: float | None
    drop_s: float | None
    mark_m: float | None


class Difference(NamedTuple):
    """One thing that is different.

    ``do`` is one of swap, add, remove, move, set, state, head, mode, field; ``what`` the part,
    adjuster or field, ``old`` and ``new`` what it was and is. ``adjuster`` is the scale of a
    setting. ``effect`` is None where it does nothing to the balance, or nobody can tell. ``along``
    are fields that tell the same thing, such as by which scale a mass is. ``mass_kg`` is what it
    changes of the weight between builds on two rigs, where no more can be told of it alone.
    """

    do: str
    what: str
    old: Any = None
    new: Any = None
    adjuster: Adjuster | None = None
    effect: Effect | None = None
    along: tuple[Difference, ...] = ()
    mass_kg: float | None = None


class DiffAnswer(NamedTuple):
    """What differs between two versions or builds, those that do most to the balance first.

    ``build`` is on which it is told; nothing where no build hangs with it. ``before`` and ``after``
    tell how that hangs, ``wanted_s`` for which drop time the marks are. ``together`` is what the
    differences do beyond the sum of each alone, and ``again`` what is told by readings of each:
    no rig is put together twice alike. ``unlisted_kg`` is there between builds on two rigs: how the
    weight of what nobody listed differs.
    """

    old: Described
    new: Described
    differences: Sequence[Difference]
    build: str | None = None
    pivot: Adjuster | None = None
    wanted_s: float | None = None
    before: Hangs | None = None
    after: Hangs | None = None
    together: Effect | None = None
    again: Effect | None = None
    unlisted_kg: float | None = None
