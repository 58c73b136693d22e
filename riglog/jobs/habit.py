"""Where a person stops the watch: at the first pass through upright, or at the far side.

A rig that turns at the far side has taken twice as long as to upright. Who stops there and does
not say so has every drop time doubled; that shows where others timed the same rigs.
"""

from __future__ import annotations

from math import exp, log
from typing import TYPE_CHECKING, get_args

import numpy as np

from riglog.errors import CallError, mend_word, quoted
from riglog.estimation.claims import drop_factor
from riglog.estimation.heights import drop as drop_time
from riglog.estimation.inference import Inference
from riglog.estimation.noise import method_sd
from riglog.library.habits import record_habit, said
from riglog.records.habit import Habit
from riglog.records.readings.drop import TimedTo

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.kit import Kit, Logged
    from riglog.jobs.drop_question import Test
    from riglog.jobs.questions import DropQuestion
    from riglog.library import Library
    from riglog.mechanics.arrays import FloatArray
    from riglog.records import Drop
    from riglog.records.readings.drop import Method

# Ways of timing in which a person decides where the time ends.
BY_HAND = frozenset({"stopwatch", "counted"})
# Times this many times too long may be those of the far side, if surely more than by chance.
_LEAST_RATIO, _MOST_RATIO, _SURE_SD = 1.5, 2.6, 3.0
# So many drops make a habit; of more than so many the newest tell it.
_FEWEST, _MOST = 3, 8
# No single drop is told better than this: hands, and marks misread [log].
_OTHERWISE_SD = 0.1


def told_to(
    library: Library, question: DropQuestion, method: Method, ask: Callable[[], str | None] | None
) -> tuple[TimedTo, Habit | None]:
    """Where the watch was stopped, and what is to be kept of it.

    As the call says, else as the person said before, else as the person says now if there is
    somebody to ask; else upright.

    Raises
    ------
    CallError
        If the words are neither.
    """
    if method not in BY_HAND or question.live:
        if question.timed_to not in {None, "upright"}:
            hint = "leave --timed-to out"
            raise CallError("a clip, a sensor and --live time to upright", hint=hint)
        return "upright", None
    known = said(library.logbook, library.author, method)
    words = question.timed_to
    if words is None and known is None and ask is not None:
        words = ask()
    if words is None:
        return known or "upright", None
    timed_to = _understood(words)
    habit = Habit(author=library.author, method=method, timed_to=timed_to)
    return timed_to, habit if timed_to != known else None


def _understood(words: str) -> TimedTo:
    for each in get_args(TimedTo):
        if words == each:
            return each  # type: ignore[no-any-return]  # one of the literals
    hint = mend_word(words, get_args(TimedTo))
    raise CallError(f"{quoted(words)} is nowhere to stop a watch", hint=hint)


def keep(library: Library, habit: Habit | None) -> None:
    """Record what a person said, if it is new."""
    if habit is not None:
        with library.logbook.writing() as transaction:
            record_habit(transaction, habit)


def far_side_ratio(hanging: Hanging, test: Test, author: str) -> float | None:
    """How many times too long a person's drops are, as all else has it, if about twice.

    None where they are not, where fewer than three are known, or where nothing else tells.
    """
    drop = test.reading
    if drop.method not in BY_HAND or drop.timed_to == "far-side":
        return None
    kit = hanging.inference.kit
    mine = [each for each in kit.readings if _alike(each, drop, author)][-_MOST:]
    others = tuple(each for each in kit.readings if not _alike(each, drop, author))
    if len(mine) < _FEWEST or not any(each.reading.kind == "drop" for each in others):
        return None
    ratios, variances = _against(kit._replace(readings=others), mine)
    if len(ratios) < _FEWEST:
        return None
    weights = 1.0 / variances
    mean, sd = float(weights @ ratios / weights.sum()), float(weights.sum() ** -0.5)
    if log(_LEAST_RATIO) < mean < log(_MOST_RATIO) and mean > _SURE_SD * sd:
        return exp(mean)
    return None


def _alike(logged: Logged, drop: Drop, author: str) -> bool:
    """A drop by the same person, timed in the same way."""
    reading = logged.reading
    return (
        logged.author == author
        and reading.kind == "drop"
        and reading.method == drop.method
        and reading.timed_to == drop.timed_to
    )


def _against(kit: Kit, mine: Sequence[Logged]) -> tuple[FloatArray, FloatArray]:
    """Logarithms of each drop over what others make expect, and their variances."""
    inference = Inference(kit, [each.hung for each in mine])
    ratios, variances = [], []
    for logged, hanging in zip(mine, inference.stands, strict=True):
        reading = logged.reading
        assert reading.kind == "drop"
        if "pivot" not in logged.hung.settings:
            continue
        depth = hanging.depth()
        if depth.value <= 2.0 * depth.standard_deviation:
            continue  # it may hang anywhere near neutral: any time is to be expected
        k2 = float(hanging.hangs.gyration_m2[0])
        expected = float(drop_time(depth.value, drop_factor(reading), k2))
        timed = float(np.mean(reading.to_upright))
        ratios.append(log(timed / expected))
        spread = 0.5 * depth.standard_deviation / depth.value
        variances.append(spread**2 + (method_sd(reading) / timed) ** 2 + _OTHERWISE_SD**2)
    return np.array(ratios), np.array(variances)
