"""`sensitivity`: what 100 g here or there does, and what small things do."""

from __future__ import annotations

from math import atan2, pi
from typing import TYPE_CHECKING

import numpy as np

from riglog.errors import CallError
from riglog.estimation.hanging import Hanging
from riglog.estimation.inference import Inference
from riglog.estimation.interval import estimate
from riglog.estimation.rows import stack
from riglog.jobs.answers import Value
from riglog.jobs.common import named, wanted_drop
from riglog.jobs.drop_times import refuse_too_short
from riglog.jobs.evidence import doubts, evidence_of
from riglog.jobs.free import free_adjusters, lift_of
from riglog.jobs.sensitivity_answers import SensitivityAnswer, Shift
from riglog.jobs.small_changes import at, places, things, with_places
from riglog.jobs.swap_question import whole
from riglog.library.evidence import kit_for

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.interval import Estimate
    from riglog.estimation.settle import Settled
    from riglog.jobs.answers import Evidence
    from riglog.jobs.small_changes import Variant
    from riglog.library import Library


def sensitivity(
    library: Library, build: str | None, wanted: str | None = None
) -> SensitivityAnswer:
    """Answer what small changes do to a build where it stands.

    Raises
    ------
    CallError
        If nobody said where it stands, or which drop time it has.
    UnreachableError
        If no mark drops in the wanted time.
    """
    standing = library.standing(build)
    hung = standing.hung(standing.since[:10])
    if "pivot" not in hung.settings:
        hint = f"log a drop first: riglog drop {hung.build.id} --mark READING SECONDS..."
        raise CallError(f"nobody said where the pivot of {hung.build.id} stands", hint=hint)
    component = whole(library)
    spots = dict(places(hung.build, component))
    small = list(things(library, hung, component))
    kit = with_places(kit_for(library.logbook, [hung, *(each.hung for each in small)], []), spots)
    variants = [*(at(hung, place, on) for place, (on, _) in spots.items()), *small]
    start, *others = Inference(kit, [hung, *(each.hung for each in variants)]).stands
    drop_s = wanted_drop(wanted, hung.build, start)
    lift = lift_of(start.tree)
    refuse_too_short(drop_s, float(start.hangs.gyration_m2[0]))
    free = [group[0] for group in free_adjusters(start.tree, (), ()) if group]
    base = start.settle(free, drop_s, start.positions_m)
    shifts = [
        shift(variant, start, base, hanging, drop_s)
        for variant, hanging in zip(variants, others, strict=True)
    ]
    across = [index for index in free if start.tree.along(index) == 0]
    evidence = _with_things(evidence_of(start), others)
    forward, below = (float(each) for each in start.lean().value)
    tree = start.tree
    return SensitivityAnswer(
        named=named(standing, start),
        drop_s=drop_s,
        lean_now_rad=atan2(forward, below),
        sets=tree.adjusters[lift],
        scale=tree.scales[lift],
        slide_name=tree.adjusters[across[0]] if across else None,
        slide=tree.scales[across[0]] if across else None,
        shifts=shifts,
        evidence=evidence,
        warnings=doubts(evidence),
    )


def _as_left(hanging: Hanging, start: Hanging) -> Hanging:
    """A variant with its adjusters where those of the build truly stand: nobody touched them."""
    settings = hanging.stand.settings.copy()
    for index, name in enumerate(hanging.tree.adjusters):
        if name in start.tree.adjusters:
            settings[index] = start.stand.settings[start.tree.adjusters.index(name)]
    stand = hanging.stand._replace(settings=settings)
    return Hanging(hanging.inference, hanging.hung, stand)


def shift(
    variant: Variant, start: Hanging, base: Settled, hanging: Hanging, drop_s: float
) -> Shift:
    """What a change does: how it hangs then, and the moves that undo it.

    ``start`` is the build as it stands, ``base`` the same settled for the drop time, and
    ``hanging`` the changed one.
    """
    hanging = _as_left(hanging, start)
    free = [hanging.tree.adjusters.index(start.tree.adjusters[index]) for index in base.moved]
    settled = hanging.settle(free, drop_s, hanging.positions_m)
    moves = {
        start.tree.along(int(index)): _between(move)
        for index, move in zip(
            base.moved, _moves(start, base, hanging, settled, drop_s), strict=True
        )
    }
    forward, below = (float(each) for each in hanging.lean().value)
    return Shift(
        variant.what,
        variant.name,
        variant.old,
        float(hanging.hangs.weight_kg - start.hangs.weight_kg),
        lean_rad=_lean(hanging, atan2(forward, abs(below))),
        turns_over=below <= 0,
        lift_m=moves[2],
        slide_m=moves.get(0),
    )


def _moves(
    start: Hanging, base: Settled, hanging: Hanging, settled: Settled, drop_s: float
) -> list[Estimate]:
    """How far each free adjuster goes: what both builds share is uncertain in neither."""
    inference, count = start.inference, len(base.moved)
    values = (base.positions_m[base.moved], settled.positions_m[settled.moved])
    rows = stack(
        [start.setting_rows(base, drop_s), hanging.setting_rows(settled, drop_s)],
        len(inference.parameters),
    )
    both = inference.plane(np.concatenate(values), rows)
    less = np.concatenate([-np.eye(count), np.eye(count)], axis=1)
    variance = np.einsum("fi,hij,fj->hf", less, both.covariance, less)
    mean, sd = both.mean @ less.T, np.sqrt(np.maximum(variance, 0.0))
    return [estimate(both.weight, mean[:, index], sd[:, index]) for index in range(count)]


def _between(move: Estimate) -> Value:
    return Value(move.value, *move.interval())


def _lean(hanging: Hanging, lean_rad: float) -> Value:
    """How it hangs untrimmed; no bound on the side on which it may turn over."""
    low, high = hanging.lean().angle_interval()
    return Value(lean_rad, low if low > -pi / 2 else None, high if high < pi / 2 else None)


def _with_things(evidence: Evidence, others: Sequence[Hanging]) -> Evidence:
    """What the answer took for granted of what comes and goes, too."""
    names = {name for each in others for name in evidence_of(each).unweighed}
    return evidence._replace(unweighed=sorted({*evidence.unweighed, *names}))
