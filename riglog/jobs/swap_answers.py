"""What `swap` answers with: where everything goes, and in which order."""

from collections.abc import Sequence
from typing import Literal, NamedTuple

from riglog.jobs.answers import Evidence, Load, Move, Named, NextRung, Value, Vernier, Warned
from riglog.jobs.remembered_answers import Remembered
from riglog.jobs.states_answers import End
from riglog.jobs.swap_words import SwapWords
from riglog.records import PivotPair


class FirstMark(NamedTuple):
    """The mark to start from: surely bottom heavy, settable, with the drop time expected there.

    ``name`` is what it is a mark of, empty where nothing sets the drop time: then ``set_m`` is
    where the pivot goes. ``toward`` is the safe way from the wanted mark, none of what is kept.
    ``also`` are the slides that keep it in trim there, where the way to it takes the axis along.
    """

    name: str
    set_m: float
    drop_s: Value
    toward: str
    also: Sequence[Move] = ()


class Step(NamedTuple):
    """One thing to do, in the order of work.

    ``do`` is one of hold, head-off, take-off, turn-over, fit, hang, balance-head, head-on,
    set-head, turn, set, trim, first-mark, drop, move, trim-again; ``what`` the part or adjuster,
    the mode, or what a powered head does from there on; ``to_m`` a reading; ``toward`` the way of
    the hand; ``figure`` what else the sentence needs; ``sides`` where a ring's two pivots stand;
    ``by`` the mount of its own that a part is hung by, or nothing for its base.
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


class SwapAnswer(NamedTuple):
    """Where everything goes.

    ``after`` says the change in words: ``lens-75 for lens-35``. ``wanted_s`` is None where nothing
    sets the drop time and it turns over. ``drop_at_mark_s`` is for the wanted mark as it can be
    set, without a drop test; ``margin_kg`` is for the wanted drop time. ``asked`` is the question
    as typed, which saves the swap once it is made; None if it is saved.
    """

    named: Named
    after: str
    wanted_s: float | None
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
