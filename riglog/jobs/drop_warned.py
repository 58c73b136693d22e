"""What a drop test makes worth a second look, and what is dangerous in what follows from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.claims import drop_factor
from riglog.estimation.heights import shortest_s
from riglog.estimation.noise import method_sd
from riglog.jobs.answers import Warned
from riglog.jobs.cant import canted
from riglog.jobs.common import NEAR_NEUTRAL_S, assumed_to_stand, drop_cautions
from riglog.jobs.dated import odd_date
from riglog.jobs.drop_expected import known_before, too_fast
from riglog.jobs.evidence import evidence_of
from riglog.jobs.free import lift_of
from riglog.jobs.odd import odd_times
from riglog.logbook.entry import now

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.jobs.drop_expected import Prediction
    from riglog.jobs.drop_question import Test
    from riglog.jobs.fine_move import FineMove
    from riglog.records import Drop

# Further off than this, a drop is worth a second look.
_UNLIKELY_SD = 3.0
# Repeats that scatter more than this many times as usual want another drop.
_WIDE = 3.0


def warned(
    test: Test,
    prediction: Prediction,
    hanging: Hanging,
    move: FineMove | None,
    under: Sequence[str],
    *,
    off_trim: bool,
) -> Iterator[Warned]:
    """What to know of the drop; ``under`` holds conditions that keep it out of the fit.

    Far ``off_trim`` it drops as nobody expects who takes it for trimmed, and nothing else is wrong.
    """
    if too_fast(test.reading, float(hanging.hangs.gyration_m2[0])):
        shortest = shortest_s(drop_factor(test.reading), known_before(test, prediction))
        yield Warned("faster_than_possible", figure=float(shortest))
    yield from (Warned(each.replace("-", "_")) for each in under)
    surprising = prediction.surprise is not None and abs(prediction.surprise) > _UNLIKELY_SD
    if surprising and not (under or off_trim):
        yield Warned("unlikely_drop", "", prediction.surprise, prediction.expected_s.value)
    yield from _scattered(test.reading)
    if test.mark_m is None:
        yield Warned("not_marked")
    elif not test.marked:
        yield assumed_to_stand(test.hung.settings.get("pivot"))
    yield from canted(hanging)
    yield from odd_date(test.reading.on, now())
    if move is not None and move.beyond_m > 0:
        yield Warned("beyond_travel", hanging.tree.adjusters[lift_of(hanging.tree)], move.beyond_m)


def _scattered(drop: Drop) -> Iterator[Warned]:
    if len(drop.times) > 1:
        scatter = float(np.std(drop.times, ddof=1))
        if scatter > _WIDE * method_sd(drop):
            yield Warned("wide_scatter", figure=scatter)
    for index in odd_times(drop.times, method_sd(drop)):
        yield Warned("odd_time", figure=drop.times[index])


def cautions(hanging: Hanging, test: Test, move: FineMove | None) -> Iterator[str]:
    """Codes of what to mind before the move that follows."""
    if move is not None and abs(move.now_m) > 0:
        yield "clamp-under-load" if hanging.tree.rig.type == "post" else "ring-sides"
        yield from drop_cautions(hanging, evidence_of(hanging).drops)
    if hanging.tree.payload:
        yield "headed-off"
    if test.wanted_s is not None and test.wanted_s >= NEAR_NEUTRAL_S:
        yield "near-neutral"
