"""What jobs answer with: plain values in SI, settings as readings of their scales."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal, NamedTuple

from riglog.jobs.nose_answers import Off
from riglog.jobs.remembered_answers import Remembered
from riglog.jobs.states_answers import End
from riglog.jobs.swap_words import SwapWords
from riglog.jobs.timing_answers import Timed
from riglog.records import Adjuster, PivotPair

if TYPE_CHECKING:
    from riglog.jobs.drop_curve import DropCurve
    from riglog.jobs.friction_answers import Friction


class Value(NamedTuple):
    """A best value and its 95 % bounds; None where there is no bound, or no value at all."""

    value: float | None
    low: float | None
    high: float | None


class Named(NamedTuple):
    """The version of a build that an answer is about."""

    build: str
    version: int
    entry: str
    type: Literal["post", "ring"]
    mode: Literal["high", "low"]


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
    for the true position, without the error of setting it. ``toward`` is the way the hand goes:
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


class FirstMark(NamedTuple):
    """The mark to start from: surely bottom heavy, settable, with the drop time expected there.

    ``toward_camera`` says whether it lies on the camera's side of the wanted mark.
    """

    pivot_m: float
    drop_s: Value
    toward_camera: bool


class Step(NamedTuple):
    """One thing to do, in the order of work.

    ``do`` is one of hold, take-off, turn-over, fit, hang, turn, balance-head, set, trim,
    first-mark, drop, move, trim-again; ``what`` the part or adjuster, or the mode; ``to_m`` a
    reading; ``toward`` the way of the hand; ``figure`` what else the sentence needs; ``sides``
    where a ring's two pivots stand; ``by`` the mount of its own that a part is hung by.
    """

    do: str
    what: str = ""
    to_m: float | None = None
    move_m: float | None = None
    toward: str = ""
    figure: float | None = None
    sides: PivotPair | None = None
    by: str = ""


class Passage(NamedTuple):
    """How the rig would hang between two steps if nobody held it.

    ``after`` tells the step (``take-off``, ``turn-over`` or ``fit``) and ``parts`` what it takes
    off or fits.
    ``lean_rad`` is positive with the nose down; ``turns_over`` says it is top heavy.
    """

    after: Literal["take-off", "turn-over", "fit"]
    parts: tuple[str, ...]
    lean_rad: float
    turns_over: bool


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


class SwapAnswer(NamedTuple):
    """Where everything goes.

    ``after`` says the change in words: ``lens-75 for lens-35``. ``drop_at_mark_s`` is for the
    pivot at its ``set_m``, without a drop test; ``margin_kg`` is for the wanted drop time.
    ``asked`` is the question as typed, which saves the swap once it is made; None if it is saved.
    """

    named: Named
    after: str
    wanted_s: float
    mass_kg: float
    gyration_m: float
    moves: Sequence[Move]
    first: FirstMark
    drop_at_mark_s: Value
    margin_kg: float | None
    passages: Sequence[Passage]
    steps: Sequence[Step]
    vernier: Vernier | None
    next_rung: NextRung | None
    loads: Sequence[Load]
    evidence: Evidence
    cautions: Sequence[str] = ()
    warnings: Sequence[Warned] = ()
    saved: str | None = None
    worn_kg: float | None = None
    remembered: Sequence[Remembered] = ()
    ends: Sequence[End] = ()
    asked: SwapWords | None = None


class PredictAnswer(NamedTuple):
    """How a build hangs where it stands.

    ``side_rad`` is positive with its right side low; on a ring it is the cant that two pivots at
    different readings give it. ``sides`` is where those stand, if each was told. ``friction`` is
    what is known of friction, ``curve`` the drop times at other marks. ``worn_kg`` is all that is
    carried, where arm or vest are listed; ``remembered`` what else was once set for about this
    mass.
    """

    named: Named
    pivot_m: float | None
    pivot: Adjuster
    mass_kg: float
    mass_sd_kg: float
    cg_m: tuple[float, float, float]
    gyration_m: float
    drop_s: Value
    lean_rad: Value
    depth_m: Value
    margin_kg: float | None
    loads: Sequence[Load]
    next_rung: NextRung | None
    evidence: Evidence
    warnings: Sequence[Warned] = ()
    side_rad: Value = Value(None, None, None)
    sides: PivotPair | None = None
    friction: "Friction | None" = None
    curve: "DropCurve | None" = None
    worn_kg: float | None = None
    remembered: Sequence[Remembered] = ()


class Nudge(NamedTuple):
    """Drop times with the pivot ``by_m`` higher and lower, as the world has it.

    None where it turns over.
    """

    by_m: float
    up_s: float | None
    down_s: float | None


class DropAnswer(NamedTuple):
    """A drop test recorded, held against what was expected, and the fine move that follows.

    ``surprise`` counts standard deviations between measured and expected. ``move_m`` is the move
    to the wanted drop time, ``move`` the same with its bounds and ``to_m`` where it leads;
    ``set_m`` is where to go now: ``to_m`` at a step of the scale, or if ``careful`` a safe mark on
    the way. ``at_target_s``, ``margin_kg`` and ``depth_m`` are those at ``set_m``, or where it
    stands if nothing moves. ``nudge`` is for whoever has not said what is wanted. ``timed`` is how
    the times were taken. ``off`` is how far off trim it hangs, where its nose was told. ``sides``
    is where a ring's two pivots stood, if each was told; ``mark_m`` is their mean. ``lenses`` are
    those that the build has, for whoever timed another one.
    """

    named: Named
    recorded: str
    started: bool
    pivot: Adjuster
    mark_m: float | None
    measured_s: float
    times_s: tuple[float, ...]
    scatter_s: float | None
    predicted_s: Value
    surprise: float | None
    wanted_s: float | None
    move_m: float | None
    move: Value | None
    to_m: float | None
    set_m: float | None
    toward: str
    at_target_s: Value | None
    careful: bool
    margin_kg: float | None
    depth_m: float | None
    vernier: Vernier | None
    next_rung: NextRung | None
    evidence: Evidence
    cautions: Sequence[str] = ()
    warnings: Sequence[Warned] = ()
    nudge: Nudge | None = None
    timed: Timed | None = None
    off: Off | None = None
    sides: PivotPair | None = None
    lenses: Sequence[str] = ()


class NeutralAnswer(NamedTuple):
    """Neutral mark, radius of gyration and wanted mark from marks alone.

    ``unit`` is the one that the marks were written in.
    """

    marks_m: tuple[float, ...]
    times_s: tuple[float, ...]
    wanted_s: float | None
    neutral_m: Value
    gyration_m: Value
    mark_m: Value | None
    first_m: float | None
    first_drop_s: Value | None
    warnings: Sequence[Warned] = ()
    unit: Literal["mm", "cm", "in"] = "mm"
