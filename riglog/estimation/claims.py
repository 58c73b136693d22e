"""What a reading says, in the few forms that the fit knows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

from riglog.estimation.heights import torque_shift
from riglog.estimation.noise import mean_sd
from riglog.estimation.priors import (
    BALANCE_POINT_SD_M,
    LEAN_SD_RAD,
    SPIN_RAD,
    TRIM_AT_DROP_RAD,
    WHOLE_WEIGHT_SD,
)
from riglog.mechanics.pendulum import swing_factor
from riglog.records.readings.measured import HORIZONTAL

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from riglog.estimation.kit import Logged
    from riglog.records import Drop, Lean, Spin


def drop_factor(drop: Drop) -> float:
    """A drop's K(m) - F(phi | m), hung in trim."""
    return float(swing_factor(np.array(drop.release), np.array(drop.stop)))


def pan_rate(spin: Spin) -> float:
    """Rate of a pan [rad/s]."""
    return float(2.0 * np.pi * spin.turns / spin.time)


class Claim(NamedTuple):
    """One thing that reading number ``reading`` says.

    ``value`` is a mean drop time [s], a position on the pivot's scale [m], the tangent of an
    angle, a mass [kg], or friction over M g r; ``sd`` is in the same unit. ``factor`` is a drop's
    K(m) - F(phi | m), ``nose`` 1 if it was released with the nose down, -1 up, 0 if nobody said;
    ``hidden`` is how much higher a torque over weight makes neutral seem to lie. ``rate`` is that
    of a pan [rad/s], ``pan`` how far the rig was panned in its gimbal when its lean was read.
    """

    reading: int
    kind: Literal["drop", "height", "lean", "side", "spin", "weight", "friction"]
    value: float
    sd: float
    factor: float = 0.0
    nose: int = 0
    release: float = HORIZONTAL
    stop: float = 0.0
    hidden: float = 0.0
    rate: float = 0.0
    pan: float = 0.0


def claims(
    index: int, logged: Logged, timing_sd: Mapping[tuple[str, str], float]
) -> Iterator[Claim]:
    """What one reading says; a drop is taken to be made of a rig in trim, unless it says its nose.

    ``timing_sd`` is the scatter of one timing by person and method [s]. With its powered head
    switched off a rig is limp, and how it moved says nothing.
    """
    reading = logged.reading
    match reading.kind:
        case "drop" if logged.hung.build.head == "off":
            pass
        case "drop":
            sd = mean_sd(reading, timing_sd[logged.author, reading.method])
            yield from _drops(index, reading, sd)
        case "weight":
            least, share = WHOLE_WEIGHT_SD
            sd = reading.sd or max(least, share * reading.mass)
            yield Claim(index, "weight", reading.mass, sd)
        case "balance-point":
            yield Claim(index, "height", reading.at, reading.sd or BALANCE_POINT_SD_M)
        case "hangs-upright":
            within = float(np.tan(reading.within))
            yield Claim(index, "lean", 0.0, within)
            yield Claim(index, "side", 0.0, within)
        case "lean":
            yield from _leans(index, reading)
        case "swing" if logged.hung.build.head != "off":
            from riglog.estimation.damping import swing_claims  # few logs have any

            yield from swing_claims(index, reading, logged.author, timing_sd)
        case "hold" if logged.hung.build.head != "off":
            from riglog.estimation.damping import hold_claim

            yield hold_claim(index, reading)
        case "spin":
            value, sd = SPIN_RAD[reading.lens_end]
            yield Claim(index, "spin", value, sd, rate=pan_rate(reading))
            # What hangs askew leans for that in a pan: nobody spins it before it is trimmed.
            yield from _in_trim(index)


def _drops(index: int, drop: Drop, sd: float) -> Iterator[Claim]:
    nose = {"down": 1, "up": -1, None: 0}[drop.nose]
    if drop.timed_to == "far-side":
        nose = 0  # what it is early on one side of upright it is late on the other
    yield Claim(
        index, "drop", float(np.mean(drop.to_upright)), sd, drop_factor(drop), nose,
        drop.release, drop.stop, torque_shift(drop.release, drop.stop),
    )  # fmt: skip
    if not nose:
        yield from _in_trim(index)


def _in_trim(index: int) -> Iterator[Claim]:
    """It was hung in trim, as well as anybody does who says nothing of it."""
    yield Claim(index, "lean", 0.0, TRIM_AT_DROP_RAD)
    yield Claim(index, "side", 0.0, TRIM_AT_DROP_RAD)


def _leans(index: int, reading: Lean) -> Iterator[Claim]:
    sd = reading.sd or LEAN_SD_RAD
    angles: dict[Literal["lean", "side"], float | None] = {
        "lean": reading.lean, "side": reading.side,
    }  # fmt: skip
    for kind, angle in angles.items():
        if angle is not None:
            noise = sd / np.cos(angle) ** 2
            yield Claim(index, kind, float(np.tan(angle)), noise, pan=reading.pan or 0.0)
