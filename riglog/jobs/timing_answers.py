"""What the answer to a drop test says of how its times were taken."""

from __future__ import annotations

from typing import NamedTuple


class Timed(NamedTuple):
    """How drop times were taken.

    ``sd_s`` is the standard deviation of one such timing, before the person's own scatter is
    known; ``fps`` the frame rate of a clip.
    """

    method: str
    sd_s: float
    fps: float | None = None
