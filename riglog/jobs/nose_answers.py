"""What drops with their nose told say of the trim."""

from typing import NamedTuple

from riglog.records import Adjuster


class Bounds(NamedTuple):
    """A length and its 95 % bounds [m]."""

    value: float
    low: float
    high: float


class Slid(NamedTuple):
    """The slide that trims it fore and aft, by its change of reading; ``toward`` is its way."""

    name: str
    adjuster: Adjuster
    move_m: Bounds
    toward: str


class Off(NamedTuple):
    """How far off trim it hangs.

    ``up_s`` and ``down_s`` are mean drop times with the nose up and down, where it was dropped so.
    ``forward_m`` is how far its center of gravity lies forward of the pivot, by all that was
    logged. ``first`` says that trimming comes before the pivot. ``lean_read`` says that a lean was
    read there, which tells it better than drops do. ``apart`` says that the two times are further
    apart than any trim makes them; ``told`` is false where all that passes upright lies within the
    bounds of ``forward_m``.
    """

    up_s: float | None
    down_s: float | None
    forward_m: Bounds
    slide: Slid | None
    first: bool
    lean_read: bool
    apart: bool = False
    told: bool = True

    @property
    def both(self) -> bool:
        """Whether it was dropped both ways: else a drop with its nose the other way tells more."""
        return self.up_s is not None and self.down_s is not None
