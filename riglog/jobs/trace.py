"""Drop times from what a phone taped to the rig logged."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.errors import CallError
from riglog.interchange.trace_table import TraceTable, read_trace
from riglog.jobs.timing_answers import Found
from riglog.mechanics.fall_fit import Fall
from riglog.mechanics.fall_guess import NoFall
from riglog.mechanics.free_swing import Samples
from riglog.mechanics.trace_signal import tilt_rate
from riglog.mechanics.traces import falls
from riglog.units import show

if TYPE_CHECKING:
    from collections.abc import Sequence

# A hand does not let go in an instant: common practice, no source [s].
HAND_SD_S = 0.01
# Beside these, a motion that was no drop says nothing [by why].
_MENDS = {
    "no-hold": ("no hold before the release", "start the log while the rig is held"),
    "no-upright": ("the trace ends before upright", "log until the rig has passed upright"),
    "gap": ("samples are missing during the fall, for {figure}", "log it again"),
    "clipped": ("the sensor stood at the end of its range", "set a wider range, and log it again"),
    "by-hand": ("it does not move as a rig let go: a hand was on it", "let go without a push"),
    "upside-down": (
        "it swings about {figure}, which is not upright",
        "turn the phone the right way up, or say --upright with what it shows upright",
    ),
}  # fmt: skip


class Traced(NamedTuple):
    """What a trace tells: the drops, the deviation of one such timing [s], the release [rad]."""

    found: tuple[Found, ...]
    sd_s: float
    release_rad: float


def traced(
    path: str, columns: str | None, units: str | None, release_rad: float, upright_rad: float
) -> Traced:
    """The drops of a trace.

    Raises
    ------
    CallError
        If the file is no trace, or has no drop in it: with the row where it might have been.
    """
    table = read_trace(path, columns, units)
    shown = np.array(table.shown, dtype=np.float64)
    along = shown[:, 0] if shown.shape[1] == 1 else tilt_rate(shown)
    samples = Samples(np.array(table.time_s), along, table.kind)
    motions = falls(samples, release_rad=release_rad, upright_rad=upright_rad)
    found = [each for each in motions if isinstance(each, Fall)]
    if not found:
        raise _none(table, [each for each in motions if isinstance(each, NoFall)])
    sds = [np.hypot(each.sd_s, HAND_SD_S) for each in found]
    return Traced(
        tuple(map(_found, found)),
        float(np.sqrt(np.mean(np.square(sds)))),
        float(np.mean([each.release_rad for each in found])),
    )


def _found(fall: Fall) -> Found:
    return Found(
        at_s=fall.release_s,
        drop_s=fall.drop_s,
        sd_s=fall.sd_s,
        release_rad=fall.release_rad,
        period_s=fall.period_s,
        swings=fall.swings,
        friction=fall.friction if fall.swings else None,
        friction_sd=fall.friction_sd if fall.swings else None,
    )


def _none(table: TraceTable, nearly: Sequence[NoFall]) -> CallError:
    """Why there is none, by what came nearest to one."""
    if not nearly:
        hint = "hold the rig laid over, let go, and log until it has passed upright"
        return CallError(f"{table.file} has no drop in it", hint=hint)
    worst = min(
        nearly, key=lambda each: list(_MENDS).index(each.why) if each.why != "upside-down" else -1
    )
    what, mend = _MENDS[worst.why]
    symbol = "s" if worst.why == "gap" else "deg"
    what = what.format(figure=show(worst.figure, symbol, 1 if symbol == "s" else 0))
    return CallError(f"{table.file}:{table.rows[worst.sample]}: no drop: {what}", hint=mend)
