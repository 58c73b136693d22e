"""How a rig would hang between the steps of a swap, if nobody held it."""

from __future__ import annotations

from dataclasses import replace
from math import atan2
from typing import TYPE_CHECKING, Literal

from riglog.jobs.swap_answers import Passage

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging
    from riglog.estimation.kit import Hung
    from riglog.jobs.exchange import Exchanged

After = Literal["take-off", "turn-over", "fit"]
# After which step, of which parts, and how it hangs then.
State = tuple[After, tuple[str, ...], "Hung"]

# Lean that needs a hand on it [rad]: 10 degrees.
NEEDS_A_HAND = 0.17453292519943295


def between(before: Hung, exchanged: Exchanged) -> list[State]:
    """The states on the way, as they would have to be asked about.

    First everything that comes off is off, then the rig is turned over if it is to be, then
    everything is fitted and no adjuster moved yet.
    """
    states: list[State] = []
    if exchanged.off:
        parts = tuple(part for part in before.build.parts if part.id not in exchanged.off)
        bare = replace(before.build, parts=parts)
        hung = before._replace(build=bare, version=f"{before.version} less")
        states.append(("take-off", exchanged.off, hung))
    if exchanged.over:
        parts = tuple(part for part in exchanged.build.parts if part.id not in exchanged.fitted)
        over = replace(exchanged.build, parts=parts)
        hung = before._replace(build=over, version=f"{before.version} over")
        states.append(("turn-over", (), hung))
    if exchanged.fitted:
        fitted = before._replace(build=exchanged.build, version=f"{before.version} swapped")
        states.append(("fit", exchanged.fitted, fitted))
    return states


def passage(after: After, parts: tuple[str, ...], hanging: Hanging) -> Passage:
    """How it hangs in one of those states, by the best fit."""
    forward, below = hanging.lean().value
    return Passage(
        after,
        parts,
        lean_rad=atan2(float(forward), abs(float(below))),
        turns_over=bool(below <= 0),
    )


def needs_a_hand(state: Passage) -> bool:
    """Whether somebody has to hold the rig through this state."""
    return state.turns_over or abs(state.lean_rad) > NEEDS_A_HAND
