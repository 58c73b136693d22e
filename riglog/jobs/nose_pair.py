"""What drops nose up and nose down tell of the trim by themselves.

Both fall by one I / (M g r), so the quotient of their times goes with the lean alone, atan2(x, d):
no mass, no mark and no radius of gyration is in it. With the swing factor C from release to stop,
each counted from where it rests,

    T_down / T_up = C(release - lean, stop - lean) / C(release + lean, stop + lean).
"""

from __future__ import annotations

from math import hypot, log, sin
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.estimation.heights import height
from riglog.estimation.interval import estimate
from riglog.mechanics.pendulum import swing_factor

if TYPE_CHECKING:
    from riglog.estimation.interval import Estimate

# So near the lean at which it would turn round before upright, the quotient hardly changes [rad].
_SHORT_OF_IT = 1e-3
_HALVINGS = 40
_NEARLY_NONE_RAD = 1e-4
_LONGER = 1.001
# Further than this many standard deviations is no chance of the timing.
_SURELY_SD = 2.0
_PARTS = 20


class Falls(NamedTuple):
    """Mean times nose up and nose down, their standard deviations, and the angles of both."""

    up_s: float
    up_sd_s: float
    down_s: float
    down_sd_s: float
    release_rad: float
    stop_rad: float


class Pair(NamedTuple):
    """What the two say.

    Attributes
    ----------
    lean
        [rad], positive with the nose down.
    forward
        Center of gravity forward of the pivot [m].
    apart
        The times are further apart than any rig has that passes upright.
    """

    lean: Estimate
    forward: Estimate
    apart: bool


def pair(falls: Falls, k2_m2: float, log_k2_sd: float) -> Pair:
    """The trim by the two noses; lengths go with k^2, of which the logarithm's sd is told."""
    lean, forward = _lean(falls), _forward(falls, k2_m2)
    noise = hypot(falls.up_sd_s / falls.up_s, falls.down_sd_s / falls.down_s)
    if abs(_told(falls)) - abs(_log_quotient(falls, lean)) > _SURELY_SD * noise:
        return _too_far_apart(falls, lean, k2_m2, log_k2_sd)
    longer = (
        (falls._replace(up_s=falls.up_s * _LONGER), falls.up_sd_s / falls.up_s),
        (falls._replace(down_s=falls.down_s * _LONGER), falls.down_sd_s / falls.down_s),
    )
    by_time = [(_forward(each, k2_m2) - forward) / (_LONGER - 1) * sd for each, sd in longer]
    return Pair(
        _normal(lean, noise / _slope(falls, lean)),
        _normal(forward, hypot(*by_time, forward * log_k2_sd)),
        apart=False,
    )


def _too_far_apart(falls: Falls, most: float, k2_m2: float, log_k2_sd: float) -> Pair:
    """Of times that no lean has one is a slip, and the lean is anything up to the most there is."""
    lean = _anywhere(most)
    radius = _radius(falls, lean.value, k2_m2)
    sd = np.hypot(np.cos(lean.mean) * lean.sd, np.sin(lean.mean) * log_k2_sd)
    forward = estimate(lean.weight, radius * np.sin(lean.mean), radius * sd)
    return Pair(lean, forward, apart=True)


def _told(falls: Falls) -> float:
    return log(falls.down_s / falls.up_s)


def _forward(falls: Falls, k2_m2: float) -> float:
    lean = _lean(falls)
    return _radius(falls, lean, k2_m2) * sin(lean)


def _slope(falls: Falls, lean: float) -> float:
    """Change of the quotient's logarithm with the lean."""
    less = _log_quotient(falls, lean - _NEARLY_NONE_RAD)
    return (_log_quotient(falls, lean) - less) / _NEARLY_NONE_RAD


def _anywhere(most: float) -> Estimate:
    """A lean between none and the most, as likely here as there."""
    middles = most * (np.arange(_PARTS) + 0.5) / _PARTS
    return estimate(np.full(_PARTS, 1 / _PARTS), middles, np.full(_PARTS, 0.3 * abs(most) / _PARTS))


def _normal(mean: float, sd: float) -> Estimate:
    return estimate(np.ones(1), np.array([mean]), np.array([sd]))


def _lean(falls: Falls) -> float:
    """The lean whose times have that quotient, by halving; at most that which passes the stop."""
    turns_round, over = (falls.release_rad + falls.stop_rad) / 2, np.pi - falls.release_rad
    most = min(turns_round, over) - _SHORT_OF_IT
    low, high = -most, most
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _log_quotient(falls, middle) < _told(falls) else (low, middle)
    return (low + high) / 2


def _log_quotient(falls: Falls, lean: float) -> float:
    """Logarithm of the time nose down over that nose up, which grows with the lean."""
    return log(_factor(falls, lean) / _factor(falls, -lean))


def _factor(falls: Falls, lean: float) -> float:
    """Of a drop nose down with that lean, or nose up with the opposite one."""
    start, end = np.array(falls.release_rad - lean), np.array(falls.stop_rad - lean)
    return float(swing_factor(start, end))


def _radius(falls: Falls, lean: float, k2_m2: float) -> float:
    """Center of gravity off the pivot, whichever way [m]: what each nose's time tells, halved."""
    down = float(height(falls.down_s, _factor(falls, lean), k2_m2))
    up = float(height(falls.up_s, _factor(falls, -lean), k2_m2))
    return (down + up) / 2
