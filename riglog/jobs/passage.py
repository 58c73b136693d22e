"""How a rig would hang between the steps of a swap, if nobody held it."""

from __future__ import annotations

from dataclasses import replace
from math import asin, atan2, hypot
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
    everything is fitted and no adjuster moved yet. What sits on a powered head is still where it
    was balanced with the parts of before.
    """
    before = before._replace(balanced_with=before.build)
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


def passage(
    after: After, parts: tuple[str, ...], hanging: Hanging, *, limp: bool = False
) -> Passage:
    """How it hangs in one of those states, by the best fit.

    What is off balance on a live head turns the frame with a torque that does not become less as
    the frame tilts: it stops where r sin(lean - rest) = torque / M g, and not at all where that is
    more than r. On a ``limp`` one it hangs from the head's axis and turns nothing.
    """
    forward, below = (float(each) for each in hanging.lean().value)
    aside = aside_m(hanging)
    forward -= aside
    reach = hypot(forward, below)
    pulled = 0.0 if limp else aside
    rest = atan2(forward, abs(below))
    over = below <= 0 or abs(pulled) > reach
    return Passage(after, parts, rest + asin(max(-1.0, min(1.0, pulled / reach))), turns_over=over)


def aside_m(hanging: Hanging) -> float:
    """Torque of a payload off balance on its head, nose down, over the weight of all [m]."""
    asides = hanging.hangs.asides
    return 0.0 if asides is None else float(asides.whole_m[0, 0])


def needs_a_hand(state: Passage) -> bool:
    """Whether somebody has to hold the rig through this state."""
    return state.turns_over or abs(state.lean_rad) > NEEDS_A_HAND
