"""What the answer to a drop test says of how its times were taken."""

from __future__ import annotations

from typing import NamedTuple


class Found(NamedTuple):
    """A drop found in a trace, let go at ``at_s`` of it.

    ``sd_s`` is the standard deviation of the drop time, without that of the hand that let go.
    ``period_s`` is that of very small swings, ``friction`` the torque at the pivot over the
    weight's greatest, told by ``swings`` half swings after upright, or not at all.
    """

    at_s: float
    drop_s: float
    sd_s: float
    release_rad: float
    period_s: float
    swings: int
    friction: float | None = None
    friction_sd: float | None = None


class Timed(NamedTuple):
    """How drop times were taken.

    ``sd_s`` is the standard deviation of one such timing, before the person's own scatter is
    known; ``fps`` the frame rate of a clip, ``timed_to`` where a watch was stopped. ``found`` are
    the drops of a trace, ``friction_n_m`` and its standard deviation what the swings after them
    tell of the pivot.
    """

    method: str
    sd_s: float
    fps: float | None = None
    timed_to: str = "upright"
    found: tuple[Found, ...] = ()
    friction_n_m: float | None = None
    friction_sd_n_m: float | None = None
