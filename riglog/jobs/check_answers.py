"""What `check` answers with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Evidence, Named, Value
    from riglog.jobs.listing import Read
    from riglog.records import Adjuster

What = Literal["drop", "mass", "neutral", "lean", "side", "hold", "pan"]


class Said(NamedTuple):
    """One thing that a reading says, and what was to be expected of it.

    ``figure`` is a drop time [s] (of swings that which they stand for), a mass [kg], a reading of
    the pivot's scale [m] or an angle [rad], ``hold`` the tilt at which friction alone holds it,
    ``pan`` the lean in a pan that the word for it stands for.
    ``before`` is what was expected when it was logged, ``now`` what all other readings expect; None
    where hardly anything was known. Deviations count standard deviations that the figure was more
    than that.
    """

    what: What
    figure: float
    before: Value | None
    deviations_before: float | None
    now: Value | None
    deviations: float | None


class CheckedReading(NamedTuple):
    """A reading against what was expected.

    ``wild`` is the probability that it is a slip, where that is likelier than not; ``kept_out``
    the conditions that keep it out of every estimate.
    """

    read: Read
    said: tuple[Said, ...]
    stands_out: bool
    wild: float | None
    kept_out: tuple[str, ...]


class Weighed(NamedTuple):
    """One weighing of a component, by whom, when (RFC 3339) and by which means."""

    mass_kg: float
    sd_kg: float
    author: str
    at: str
    by: str | None
    entry: str


class Disputed(NamedTuple):
    """A component whose weighings disagree, and what they come to together.

    ``deviations`` is how many times further apart they are than they should be.
    """

    component: str
    weighings: Sequence[Weighed]
    mass_kg: float
    sd_kg: float
    deviations: float


class CheckAnswer(NamedTuple):
    """A build's readings by version and over time.

    ``outstanding`` has those that stand out, the furthest first; ``limit`` is how many standard
    deviations are too many for chance. ``disputed`` has components of the build whose weighings
    disagree.
    """

    named: Named
    pivot: Adjuster
    readings: Sequence[CheckedReading]
    outstanding: Sequence[CheckedReading]
    limit: float
    evidence: Evidence
    disputed: Sequence[Disputed] = ()
