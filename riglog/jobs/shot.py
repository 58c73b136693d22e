"""`shot`: what each drop time means for a shot, and which one to take."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import UnreachableError
from riglog.estimation.heights import FRICTION_SHIFT
from riglog.estimation.inference import Inference
from riglog.estimation.planting import reading_m
from riglog.jobs.common import NEAR_NEUTRAL_S, drop_cautions, named, wanted_drop
from riglog.jobs.drop_curve import drop_curve
from riglog.jobs.drop_times import time_of
from riglog.jobs.evidence import doubts, evidence_of
from riglog.jobs.free import free_adjusters, lift_of
from riglog.jobs.placing import drop_at_mark, first_mark, place
from riglog.jobs.shot_answers import ShotAnswer
from riglog.jobs.shot_choice import recommended
from riglog.jobs.shot_felt import Rig, fall_of
from riglog.jobs.shot_question import understood
from riglog.jobs.shot_rows import rows_of, slide_of
from riglog.library.evidence import kit_for
from riglog.mechanics.pivot import has_height, pivot_height

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.estimation.hanging import Hanging
    from riglog.jobs.shot_answers import Shot
    from riglog.jobs.shot_question import ShotQuestion
    from riglog.library import Library

# The range that a table shows where none is asked: common practice, no source.
USUAL_S = (1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)


def shot(library: Library, build: str | None, question: ShotQuestion) -> ShotAnswer:
    """Answer what each drop time means for the shot, and recommend one.

    Raises
    ------
    CallError
        If a word is wrong.
    UnreachableError
        If no drop time falls through the move in the time.
    """
    standing = library.standing(build)
    asked = understood(question, library.rig(standing.build.rig).adjuster("pivot").unit)
    hung = standing.hung(standing.since[:10])
    hanging = Inference(kit_for(library.logbook, [hung], []), [hung]).stands[0]
    wanted = None if asked.over_s is None else _wanted_by_move(asked, hanging)
    drops = _drops(question, hanging, wanted)
    rows = rows_of(hanging, asked, drops)
    if not rows:
        raise UnreachableError("no mark gives any of these drop times", hint="ask for longer ones")
    chosen, why = recommended(rows, wanted)
    tree, lift = hanging.tree, lift_of(hanging.tree)
    placed = place(hanging, [[lift]], rows[chosen].drop_s)
    slide = slide_of(hanging) if asked.lean_rad is not None else None
    stands = hung.settings.get(tree.adjusters[lift])
    evidence = evidence_of(hanging)
    return ShotAnswer(
        named=named(standing, hanging),
        shot=asked,
        sets=tree.adjusters[lift],
        scale=tree.scales[lift],
        stands_m=None if stands is None else reading_m(stands),
        rows=rows,
        wanted_s=wanted,
        chosen=chosen,
        why=why,
        first=first_mark(hanging, placed, free_adjusters(tree, (), ())[0])[0],
        at_mark_s=drop_at_mark(hanging, placed.settled, rows[chosen].mark.set_m),
        lean_name=None if slide is None else tree.adjusters[slide],
        lean_scale=None if slide is None else tree.scales[slide],
        evidence=evidence,
        cautions=tuple(_cautions(hanging, evidence.drops, rows[chosen].drop_s)),
        warnings=doubts(evidence),
        curve=drop_curve(hanging),
    )


def _cautions(hanging: Hanging, drops: int, drop_s: float) -> Iterator[str]:
    yield "clamp-under-load" if hanging.tree.rig.type == "post" else "ring-sides"
    yield from drop_cautions(hanging, drops)
    if drop_s >= NEAR_NEUTRAL_S:
        yield "near-neutral"


def _wanted_by_move(asked: Shot, hanging: Hanging) -> float:
    """The drop time [s] of the rig that falls through the move by itself in the time wanted."""
    assert asked.over_s is not None
    release, stop = fall_of(asked)
    k2, friction_m = float(hanging.hangs.gyration_m2[0]), float(Rig.of(hanging).friction_m)
    told = {"release_rad": release, "stop_rad": stop, "friction_m": friction_m}
    if not has_height(asked.over_s, k2, **told):
        raise UnreachableError(
            f"no drop time falls through that move in {asked.over_s:g} s",
            hint="give the move another time, or leave --over out and look at the table",
        )
    height = float(pivot_height(asked.over_s, k2, **told))
    found = time_of(height - FRICTION_SHIFT * friction_m, k2)
    if found is None:
        raise UnreachableError(
            f"a move of {asked.over_s:g} s leaves the rig to friction alone",
            hint="give it less time",
        )
    return found


def _drops(question: ShotQuestion, hanging: Hanging, wanted: float | None) -> list[float]:
    build = hanging.hung.build
    given = [wanted_drop(each, build, hanging) for each in question.drops]
    usual = given or [*USUAL_S, *([build.wanted_drop] if build.wanted_drop else [])]
    return sorted({*usual, *([] if wanted is None else [wanted])})
