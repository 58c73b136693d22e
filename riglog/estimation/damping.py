"""What swings and the hold band say: the height, free of friction, and friction by itself.

Dying swings and the tilt at which a rig stays put both tell tau / (M g r), and a drop test does
not: there friction looks like a higher neutral.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.claims import Claim
from riglog.estimation.noise import METHOD_SD_S
from riglog.estimation.priors import FINEST_SD_RAD, LEAN_SD_RAD
from riglog.mechanics.elliptic import K_HALF
from riglog.mechanics.swing import (
    DROP_PER_PERIOD,
    amplitude_ratio,
    friction_of_decay,
    mean_amplitude_ratio,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from riglog.records import Hold, Swing


def swing_claims(
    index: int, swing: Swing, author: str, timing_sd: Mapping[tuple[str, str], float]
) -> Iterator[Claim]:
    """The height by the period, as good as a drop without friction; friction where they die away.

    The swings are timed by a stopwatch, and amplitudes read like any lean.
    """
    end = swing.start if swing.end is None else swing.end
    ratio = float(mean_amplitude_ratio(swing.start, end))
    time = swing.time / swing.swings / ratio * DROP_PER_PERIOD
    timed = timing_sd.get((author, "stopwatch"), METHOD_SD_S["stopwatch"]) / swing.time
    bent = float(amplitude_ratio(swing.start + LEAN_SD_RAD) - amplitude_ratio(swing.start))
    yield Claim(index, "drop", time, time * float(np.hypot(timed, bent / ratio)), K_HALF)
    dies = swing_friction(index, swing)
    if dies is not None:
        yield dies


def friction_claim(reading: Hold | Swing) -> Claim | None:
    """What a reading by itself says of friction; None where it says nothing."""
    return hold_claim(0, reading) if reading.kind == "hold" else swing_friction(0, reading)


def swing_friction(index: int, swing: Swing) -> Claim | None:
    """Friction over M g r by how swings die away; None where nobody told how far the last went."""
    if swing.end is None:
        return None
    return Claim(index, "friction", *_decay(swing.start, swing.end, swing.swings))


def _decay(first_rad: float, last_rad: float, swings: int) -> tuple[float, float]:
    """Friction over M g r by the amplitudes, and how well they tell it."""
    told = float(friction_of_decay(first_rad, last_rad, swings))
    slopes = np.sinc(np.array([first_rad, last_rad]) / np.pi)
    return told, float(np.hypot(*slopes)) * LEAN_SD_RAD / (4.0 * swings)


def hold_claim(index: int, hold: Hold) -> Claim:
    """Friction over M g r by the tilt between where it stays and where it falls."""
    stays = hold.stays or 0.0
    falls = stays if hold.falls is None else hold.falls
    tilt = min((stays + falls) / 2, np.pi / 2)
    # Anywhere between the two: a rectangular error (JCGM 100:2008, 4.3.7).
    between = (falls - stays) / 12**0.5
    # Near horizontal a sine hardly changes, and yet no tilt tells it exactly.
    slope = max(np.cos(tilt), 0.2)
    sd = np.hypot(between, _read_sd(hold, between))
    return Claim(index, "friction", float(np.sin(tilt)), float(slope * sd))


def _read_sd(hold: Hold, between_rad: float) -> float:
    """How well the tilts were read: who tells one where it stays from one where it falls, as well.

    One of them alone is read like any lean.
    """
    if hold.stays is None or hold.falls is None:
        return LEAN_SD_RAD
    return min(max(between_rad, FINEST_SD_RAD), LEAN_SD_RAD)
