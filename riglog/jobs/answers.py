"""What several jobs answer with: plain values in SI, settings as readings of their scales."""

from collections.abc import Sequence
from typing import Literal, NamedTuple

from riglog.records import Adjuster, PivotPair

# The other way of each that a hand goes.
OPPOSITE = {
    "up": "down", "down": "up", "forward": "back", "back": "forward", "left": "right",
    "right": "left",
}  # fmt: skip


class Value(NamedTuple):
    """A best value and its 95 % bounds; None where there is no bound, or no value at all."""

    value: float | None
    low: float | None
    high: float | None


class Named(NamedTuple):
    """The version of a build that an answer is about.

    ``head`` is what its powered head does, empty where nothing sits on one.
    """

    build: str
    version: int
    entry: str
    type: Literal["post", "ring"]
    mode: Literal["high", "low"]
    head: Literal["", "level", "follow", "locked", "off"] = ""


class Warned(NamedTuple):
    """Something to know before acting: a stable code, and the figures that its sentence needs.

    ``codes`` are listed with their sentences in ``wording``.
    """

    code: str
    what: str = ""
    figure: float | None = None
    other: float | None = None


class Move(NamedTuple):
    """One adjuster, where it stands and where it goes, as readings of its scale [m].

    ``to_m`` is not rounded; ``set_m`` is the nearest that the scale can be set to. The bounds are
    for the true position, without the error of setting it; None is no bound, as of one that is set
    where it is told and leaves the rest to a finer one. ``toward`` is the way the hand goes:
    up, down, forward, back, left, right as the world has it, or none. ``sides`` is where a ring's
    two pivots stand if each was told; ``from_m`` is their mean, and both go to ``to_m``.
    """

    name: str
    adjuster: Adjuster
    from_m: float | None
    to_m: float
    set_m: float
    low_m: float | None
    high_m: float | None
    toward: str
    free: bool
    sides: PivotPair | None = None

    @property
    def move_m(self) -> float | None:
        """Change of reading, not rounded."""
        return None if self.from_m is None else self.to_m - self.from_m


class Vernier(NamedTuple):
    """A part that moves the balance finer than one step of the pivot does.

    Moving it ``part_m`` along ``toward`` is as much as ``pivot_m`` of pivot.
    """

    part: str
    mass_kg: float
    part_m: float
    pivot_m: float
    toward: str
    drop_change_s: float


class NextRung(NamedTuple):
    """What one more measurement would make of the interval's half width [m].

    ``do`` is weigh, edge, drop or two-marks; ``what`` the component or build.
    """

    do: str
    what: str
    now_m: float
    then_m: float


class Load(NamedTuple):
    """What a link of the support carries against what it is rated for."""

    link: str
    mass_kg: float
    least_kg: float | None
    greatest_kg: float


class Evidence(NamedTuple):
    """What an answer rests on, and what it took for granted.

    ``readings`` counts what was used, ``drops`` the drop tests among it; ``unweighed`` names
    components without a mass, ``unlisted`` says that a lump stands for what nobody listed,
    ``doubted`` names readings that are held to be wild (entry, probability), ``kept_out`` those
    of the build that do not count (entry, conditions), ``on_head`` says that a payload is taken to
    be balanced on its leveled head, ``disputed`` names components whose weighings disagree.
    """

    drops: int
    readings: int
    unweighed: Sequence[str] = ()
    unlisted: bool = False
    unset: Sequence[str] = ()
    doubted: Sequence[tuple[str, float]] = ()
    kept_out: Sequence[tuple[str, tuple[str, ...]]] = ()
    on_head: bool = False
    disputed: Sequence[str] = ()
