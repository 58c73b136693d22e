"""What each difference does to the balance: one thing changed at a time, by the same estimate."""

from __future__ import annotations

from math import atan2
from typing import TYPE_CHECKING

from riglog.errors import UnreachableError
from riglog.jobs.diff_answers import Difference, Effect, Hangs
from riglog.jobs.drop_times import refuse_too_short, time_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from riglog.estimation.guess import Guess


def hangs(hanging: Guess, wanted_s: float | None) -> Hangs:
    """How a build hangs by the best fit; without a wanted drop time its mark is neutral."""
    tree, positions = hanging.tree, hanging.positions_m
    balance = hanging.hangs
    x, y, z = (float(each) for each in balance.cg_m[0])
    forward = x - float(tree.pan_axis_m(positions)[0])
    depth = hanging.depth_m(positions, balance)
    stands = "pivot" in hanging.hung.settings and depth > 0
    return Hangs(
        mass_kg=float(balance.weight_kg),
        cg_m=(x, y, z),
        depth_m=depth,
        forward_m=forward,
        lean_rad=atan2(forward, depth) if stands else None,
        drop_s=time_of(depth, float(balance.gyration_m2[0])) if stands else None,
        mark_m=_mark(hanging, wanted_s),
    )


def _mark(hanging: Guess, wanted_s: float | None) -> float | None:
    """Where the pivot goes for the wanted drop time, or on guides that lie for trim."""
    tree = hanging.tree
    if wanted_s is not None:
        try:
            refuse_too_short(wanted_s, float(hanging.hangs.gyration_m2[0]))
        except UnreachableError:
            return None
    settled = hanging.settle([tree.pivot], wanted_s)
    return tree.scales[tree.pivot].scale.reading(float(settled.positions_m[tree.pivot]))


def effect(before: Hangs, after: Hangs) -> Effect:
    """What lies between two of them."""
    x, y, z = (b - a for a, b in zip(before.cg_m, after.cg_m, strict=True))
    return Effect(
        after.mass_kg - before.mass_kg,
        (x, y, z),
        after.depth_m - before.depth_m,
        after.forward_m - before.forward_m,
        _less(after.lean_rad, before.lean_rad),
        _less(after.drop_s, before.drop_s),
        _less(after.mark_m, before.mark_m),
    )


def _less(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one - other


def rest(whole: Effect, shares: Iterable[Effect]) -> Effect:
    """What is left of the whole when each share is taken off it."""
    for share in shares:
        x, y, z = (a - b for a, b in zip(whole.cg_m, share.cg_m, strict=True))
        whole = Effect(
            whole.mass_kg - share.mass_kg,
            (x, y, z),
            whole.depth_m - share.depth_m,
            whole.forward_m - share.forward_m,
            _less(whole.lean_rad, share.lean_rad),
            _less(whole.drop_s, share.drop_s),
            _less(whole.mark_m, share.mark_m),
        )
    return whole


def size(found: Effect | None) -> float:
    """How much a difference does: by how far it moves the center of gravity from the pivot [m]."""
    return 0.0 if found is None else (found.depth_m**2 + found.forward_m**2) ** 0.5


def by_weight(
    differences: Iterable[Difference], before: Guess, after: Guess
) -> tuple[list[Difference], float]:
    """Differences with what each changes of the weight, the largest first, and what is left.

    That is the difference of what nobody listed [kg].
    """
    was, is_ = (_masses(each) for each in (before, after))
    told = [each._replace(mass_kg=_gained(each, was, is_)) for each in differences]
    told.sort(key=lambda each: -abs(each.mass_kg or 0.0))
    listed = sum(each.mass_kg or 0.0 for each in told)
    return told, float(after.hangs.weight_kg - before.hangs.weight_kg) - listed


def _masses(guess: Guess) -> dict[str, float]:
    return dict(zip(guess.tree.parts, map(float, guess.hangs.all_mass_kg), strict=True))


def _gained(each: Difference, was: Mapping[str, float], is_: Mapping[str, float]) -> float | None:
    match each.do:
        case "swap":
            return is_[each.new.id] - was[each.what]
        case "add":
            return is_[each.what]
        case "remove":
            return -was[each.what]
        case _:
            return None
