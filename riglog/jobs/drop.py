"""`drop`: record a drop test, hold it against what was expected, and answer with the fine move."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.errors import UnreachableError
from riglog.estimation.claims import drop_factor
from riglog.estimation.inference import Inference
from riglog.estimation.noise import mean_sd, method_sd
from riglog.estimation.planting import reading_m
from riglog.jobs.answers import Value, Warned
from riglog.jobs.common import named
from riglog.jobs.drop_answers import DropAnswer, Nudge
from riglog.jobs.drop_expected import NOTHING, known_before, prediction_of, too_fast
from riglog.jobs.drop_question import Test, understood
from riglog.jobs.drop_times import refuse_too_short, time_of
from riglog.jobs.drop_warned import cautions, warned
from riglog.jobs.evidence import doubts, evidence_of
from riglog.jobs.fine_move import FineMove, Measured, expected, fine_move, measured
from riglog.jobs.free import lift_of
from riglog.jobs.habit import far_side_ratio, keep
from riglog.jobs.heads import refuse_head
from riglog.jobs.margin import at_depth, margin_kg
from riglog.jobs.nose import height_by_nose, off_trim
from riglog.jobs.rungs import next_rung
from riglog.jobs.timing_answers import Timed
from riglog.jobs.vernier import vernier
from riglog.library.evidence import kit_for
from riglog.mechanics.arrays import STANDARD_GRAVITY
from riglog.records import PivotPair
from riglog.records.readings.measured import mean_s

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from riglog.estimation.hanging import Hanging
    from riglog.jobs.drop_expected import Prediction
    from riglog.jobs.nose_answers import Off
    from riglog.jobs.questions import DropQuestion
    from riglog.library import Library
    from riglog.records import Drop

NUDGE_M = 0.001
# Cables and air drag too: no trace tells a pivot's friction better than this, of the weight's pull.
_FRICTION_FLOOR = 0.001


def drop(
    library: Library, question: DropQuestion, ask: Callable[[], str | None] | None = None
) -> DropAnswer:
    """Record the drop test first, then answer.

    ``ask`` asks a person, once for all, where the watch is stopped.

    Raises
    ------
    CallError
        If a word of it is wrong; then nothing is recorded.
    NoAnswerError
        If its powered head is switched off, or no mark drops as soon as the call wants; then
        nothing is recorded either.
    """
    test = understood(library, question, ask)
    prediction = _predicted(library, test)
    test = _reachable(test, prediction)
    recorded = library.record_reading(test.reading, version=test.version, first=test.start).entry
    keep(library, test.habit)
    test = _begun(library, test)
    hanging = _hanging(library, test)
    told = _measured(hanging, test.reading, library.author)
    fast = too_fast(test.reading, told.gyration_m2)
    off = None if fast else off_trim(hanging, test.reading, told.depth_m, library.author)
    move = None
    if not (test.wanted_s is None or fast or _trims_first(off)):
        move = fine_move(hanging, told, test.wanted_s)
    answer = _answer(test, recorded, prediction, hanging, move, told, off)
    ratio = far_side_ratio(hanging, test, library.author)
    if ratio is None:
        return answer
    habit = Warned("far_side_habit", library.author, ratio)
    return answer._replace(warnings=(habit, *answer.warnings))


def _predicted(library: Library, test: Test) -> Prediction:
    """What was to be expected; a drop that means nothing is refused."""
    if test.start and test.reading.head is None:
        return NOTHING
    hanging = _hanging(library, test)
    refuse_head(hanging, test.reading.head)
    return prediction_of(hanging, test.reading)._replace(tree=hanging.tree)


def _begun(library: Library, test: Test) -> Test:
    """The test with its build as it was recorded."""
    if not test.start:
        return test
    standing = library.standing(test.reading.build)
    return test._replace(standing=standing, hung=test.hung._replace(version=standing.entry))


def _reachable(test: Test, prediction: Prediction) -> Test:
    """The test, without a drop time that a build was once set for and nothing gives any more."""
    if test.wanted_s is None:
        return test
    k2 = known_before(test, prediction)
    try:
        if prediction.tree is not None:
            lift_of(prediction.tree)
        refuse_too_short(test.wanted_s, k2)
    except UnreachableError:
        if test.asked:
            raise
        return test._replace(wanted_s=None)
    return test


def _hanging(library: Library, test: Test) -> Hanging:
    inference = Inference(kit_for(library.logbook, [test.hung], []), [test.hung])
    return inference.stands[0]


def _measured(hanging: Hanging, drop: Drop, author: str) -> Measured:
    """What the drop itself tells of the height, by however well its timer times."""
    by_nose = height_by_nose(hanging, drop, author)
    if by_nose is not None:
        return by_nose
    who = hanging.inference.observations.timing_sd
    sd = mean_sd(drop, who.get((author, drop.method), method_sd(drop)))
    return measured(hanging, float(np.mean(drop.to_upright)), sd, drop_factor(drop))


def _answer(
    test: Test,
    recorded: str,
    prediction: Prediction,
    hanging: Hanging,
    move: FineMove | None,
    told: Measured,
    off: Off | None,
) -> DropAnswer:
    tree, drop, trims = hanging.tree, test.reading, _trims_first(off)
    fast = too_fast(drop, told.gyration_m2)
    depth_m = told.depth_m if move is None else move.depth_m
    sets = tree.pivot if tree.lift is None else tree.lift
    stands = test.hung.settings.get(tree.adjusters[sets])
    stands_m = None if stands is None else reading_m(stands)
    evidence = evidence_of(hanging)
    settled = hanging.settle([sets], test.wanted_s)
    under = dict(evidence.kept_out).get(recorded, ())
    warnings = warned(test, prediction, hanging, move, under, off_trim=trims)
    return DropAnswer(
        named=named(test.standing, hanging),
        recorded=recorded,
        started=bool(test.start),
        pivot=tree.scales[tree.pivot],
        mark_m=test.mark_m,
        sets=tree.adjusters[sets],
        scale=tree.scales[sets],
        stands_m=stands_m,
        measured_s=mean_s(drop.to_upright),
        times_s=drop.times,
        scatter_s=float(np.std(drop.times, ddof=1)) if len(drop.times) > 1 else None,
        predicted_s=prediction.expected_s,
        surprise=prediction.surprise,
        wanted_s=test.wanted_s,
        move_m=_move_m(stands_m, move),
        move=None if move is None else move.reading,
        to_m=_sum(stands_m, move.reading.value if move else None),
        set_m=_sum(stands_m, move.now_m if move else None),
        toward="" if move is None else move.toward,
        at_target_s=_there(move, told, hanging.step_m(sets), untold=fast or trims),
        careful=move is not None and move.careful,
        margin_kg=None if fast else margin_kg(hanging, depth_m, at_depth(hanging, depth_m)),
        depth_m=None if fast else depth_m,
        vernier=None if move is None else vernier(hanging, settled, depth_m),
        next_rung=next_rung(hanging, settled, test.wanted_s),
        evidence=evidence,
        cautions=tuple(cautions(hanging, test, move)),
        warnings=(*warnings, *doubts(evidence)),
        nudge=None
        if test.wanted_s or fast or trims
        else _nudge(hanging, depth_m, told.gyration_m2),
        timed=_timed(test, hanging, told),
        off=off,
        sides=sides if isinstance(sides := test.hung.settings.get("pivot"), PivotPair) else None,
        lenses=tuple(_lenses(hanging)),
        taken_back=() if move is None else move.taken_back,
    )


def _trims_first(off: Off | None) -> bool:
    """Whether it hangs so far off trim that nothing is said of the pivot before it is trimmed."""
    return off is not None and off.first


def _lenses(hanging: Hanging) -> Iterator[str]:
    """What is named with the drop: a lens that went on since, and was not recorded, shows here."""
    known = hanging.inference.kit.components
    return (part.id for part in hanging.hung.build.parts if known[part.component].kind == "lens")


def _timed(test: Test, hanging: Hanging, told: Measured) -> Timed:
    """How it was timed, and of a trace the friction that its swings show."""
    drop, found = test.reading, test.taken.found
    timed = Timed(drop.method, method_sd(drop), drop.fps, drop.timed_to, found)
    shares = [(each.friction, each.friction_sd) for each in found if each.friction is not None]
    if not shares:
        return timed
    weights = np.array([max(sd or 0.0, _FRICTION_FLOOR) ** -2.0 for _, sd in shares])
    share = max(float(weights @ [friction for friction, _ in shares] / weights.sum()), 0.0)
    weight = hanging.weight()
    pull = weight.value * STANDARD_GRAVITY * told.depth_m
    # The pull goes with the weight and, by the height that this drop tells, with k^2.
    of_pull = np.hypot(weight.standard_deviation / weight.value, told.log_sd)
    sd = np.hypot(float(weights.sum() ** -0.5), share * of_pull)
    return timed._replace(friction_n_m=share * pull, friction_sd_n_m=float(sd) * pull)


def _there(move: FineMove | None, told: Measured, step_m: float, *, untold: bool) -> Value | None:
    """Drop time expected where it will stand; of one that no rig has, or off trim, none follows."""
    if move is not None:
        return move.drop_s
    return None if untold else expected(told, 0.0, step_m)


def _move_m(stands_m: float | None, move: FineMove | None) -> float | None:
    """The whole way where a mark tells the way there, else what is to be done now."""
    if move is None:
        return None
    return move.reading.value if stands_m is not None else move.now_m


def _sum(mark_m: float | None, move_m: float | None) -> float | None:
    return None if mark_m is None or move_m is None else mark_m + move_m


def _nudge(hanging: Hanging, depth_m: float, k2: float) -> Nudge | None:
    """What a little of what sets the drop does; None where nothing does."""
    tree, lift = hanging.tree, hanging.tree.lift
    if lift is None:
        return None
    rise_m = NUDGE_M * (hanging.step_m(lift) / tree.scales[lift].step)
    if hanging.depth_per_m(lift) * tree.up < 0:
        rise_m = -rise_m
    return Nudge(NUDGE_M, time_of(depth_m + rise_m, k2), time_of(depth_m - rise_m, k2))
