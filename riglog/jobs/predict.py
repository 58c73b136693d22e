"""`predict`: how a build hangs where it stands."""

from __future__ import annotations

from math import atan2, pi
from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.inference import Inference
from riglog.estimation.planting import reading_m
from riglog.estimation.priors import together
from riglog.jobs.answers import Value, Warned
from riglog.jobs.cant import canted, side_lean
from riglog.jobs.common import named
from riglog.jobs.drop_curve import drop_curve
from riglog.jobs.drop_times import drop_value
from riglog.jobs.evidence import doubts, evidence_of
from riglog.jobs.friction_known import friction_of
from riglog.jobs.heads import head_named, refuse_head, with_head
from riglog.jobs.loads import load_warnings, loads_of, worn_kg
from riglog.jobs.margin import margin_kg
from riglog.jobs.predict_answers import PredictAnswer
from riglog.jobs.remembered import remembered
from riglog.jobs.rungs import next_rung
from riglog.jobs.states import with_states
from riglog.jobs.swap_question import whole
from riglog.library.adjusters import adjusters_of, settings_given
from riglog.library.evidence import kit_for
from riglog.records import PivotPair

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.interval import Estimate
    from riglog.estimation.tree import Tree
    from riglog.jobs.answers import Load
    from riglog.library import Library, Standing

# More than this and it wants trimming before anything else [rad]: 10 degrees.
FAR_LEAN_RAD = 0.17453292519943295


def predict(
    library: Library,
    build: str | None,
    mark: str | None = None,
    head: str | None = None,
    states: Sequence[str] = (),
) -> PredictAnswer:
    """Answer how a build hangs where it stands, or at another mark, or with its head set otherwise.

    Raises
    ------
    CallError
        If the mark is none, or beyond the travel, or it has no such head or state.
    NoAnswerError
        If its powered head is switched off.
    """
    standing = library.standing(build)
    does = head_named(head)
    hung = with_head(standing.hung(standing.since[:10]), does)
    hung = with_states(hung, states, whole(library))
    if mark is not None:
        known = adjusters_of(library, standing.build)
        rig_type = library.rig(standing.build.rig).type
        at = settings_given(known, [f"pivot={mark}"], rig_type)
        hung = hung._replace(settings={**hung.settings, **at})
    parts = [part.component for part in hung.build.parts]
    inference = Inference(kit_for(library.logbook, [hung], parts[:0]), [hung])
    refuse_head(inference.stands[0], does)
    answer = _answer(standing, inference.stands[0])
    return answer._replace(remembered=remembered(library, standing.build.rig, answer.mass_kg))


def _answer(standing: Standing, hanging: Hanging) -> PredictAnswer:
    tree, hangs = hanging.tree, hanging.hangs
    depth, weight, loads = hanging.depth(), hanging.weight(), loads_of(hanging)
    marked = hanging.hung.settings.get("pivot")
    k2 = float(hangs.gyration_m2[0])
    unknown = Value(None, None, None)
    evidence = evidence_of(hanging)
    x, y, z = (float(each) for each in hangs.cg_m[0])
    return PredictAnswer(
        named=named(standing, hanging),
        pivot_m=None if marked is None else reading_m(marked),
        pivot=tree.scales[tree.pivot],
        mass_kg=weight.value,
        mass_sd_kg=weight.standard_deviation,
        cg_m=(x, y, z),
        gyration_m=k2**0.5,
        drop_s=unknown if marked is None else drop_value(depth, k2),
        lean_rad=_lean(hanging, depth),
        depth_m=unknown if marked is None else Value(depth.value, *depth.interval()),
        margin_kg=None if marked is None else margin_kg(hanging, depth.value, hanging.positions_m),
        loads=loads,
        next_rung=next_rung(hanging, hanging.settle([_upright(tree)], None), None),
        evidence=evidence,
        warnings=tuple(_warnings(hanging, depth, loads)),
        side_rad=side_lean(hanging),
        friction=friction_of(hanging),
        curve=drop_curve(hanging),
        sides=marked if isinstance(marked, PivotPair) else None,
        worn_kg=worn_kg(hanging),
    )


def _upright(tree: Tree) -> int:
    """What sets the drop time, else the pivot."""
    return tree.pivot if tree.lift is None else tree.lift


def _lean(hanging: Hanging, depth: Estimate) -> Value:
    """Lean where it hangs; none where it does not hang, and no bound where it might not."""
    if depth.value <= 0 or "pivot" not in hanging.hung.settings:
        return Value(None, None, None)
    plane = hanging.lean()
    forward, below = plane.value
    low, high = (each if abs(each) < pi / 2 else None for each in plane.angle_interval())
    return Value(float(np.arctan2(forward, below)), low, high)


def _warnings(hanging: Hanging, depth: Estimate, loads: list[Load]) -> Iterator[Warned]:
    if "pivot" not in hanging.hung.settings:
        yield Warned("unset_pivot", "pivot")
    elif depth.value <= 0:
        yield Warned("top_heavy")
    else:
        upright = hanging.tree.lift == hanging.tree.pivot
        if upright and depth.value**2 > hanging.hangs.gyration_m2[0]:
            yield Warned("above_shortest")
        forward, below = hanging.lean().value
        lean = atan2(float(forward), float(below))
        if abs(lean) > FAR_LEAN_RAD:
            yield Warned("not_trimmed", figure=lean)
    yield from canted(hanging)
    yield from load_warnings(loads)
    kit = hanging.inference.kit
    for name in evidence_of(hanging).disputed:
        yield Warned("weighings_disagree", name, *together(kit.weighings[name])[:2])
    yield from doubts(evidence_of(hanging))
