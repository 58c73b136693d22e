"""Cautions, by the codes that jobs choose for what is about to be done.

They are short because somebody reads them with a crew waiting, and they come after the maker's
instructions, the ratings and the local rules, as their heading says.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

_FIRST = "the maker's instructions, ratings and local rules come first"

CAUTIONS: Mapping[str, str] = {
    "drop-test": (
        "Drop test: plate lock and safety stop closed, stand rated for it and weighted, swing"
        " circle clear, a second person's hand under the falling end. Never while it is worn."
    ),
    "heavy-drop-test": "This rig is heavy: two people for the drop test, one at each end.",
    "pan-test": (
        "Pan test: let it spin slowly first, the circle clear and a hand near the post; no cable"
        " that winds up."
    ),
    "unknown-rig": (
        "Nobody has timed this rig: let it go from 30 degrees first and see that it falls upright."
    ),
    "clamp-under-load": "Never open the gimbal clamp under load: take the weight off it first.",
    "ring-sides": "Move the two sides one at a time, with the frame supported.",
    "turns-over": (
        "Turn it over as the maker says, cables clear, two people for a heavy rig: what is loose"
        " falls."
    ),
    "takes-off": "Whatever comes off changes the balance at once: hold the rig before it does.",
    "near-neutral": "At 5 s and more a small part turns it over: never leave it undocked.",
    "arm-load": (
        "Dock before the arm's springs are unloaded, and stay inside the arm's least and greatest"
        " load."
    ),
    "headed-off": "A powered head is limp when off and may jump when it comes on: hands clear.",
    "overhead": (
        "Overhead points and spring lines are inspected, and rigged by licensed riggers only."
    ),
}


def heading(words: str, codes: Iterable[str]) -> str:
    """Heads warnings and cautions; what comes before any caution is said where there is one."""
    return f"{words} ({_FIRST}):" if list(codes) else f"{words}:"


def sentences(codes: Iterable[str]) -> list[str]:
    """The cautions for these codes, each once, in the order given.

    Raises
    ------
    KeyError
        If a code has no sentence: a caution must not get lost.
    """
    return [CAUTIONS[code] for code in dict.fromkeys(codes)]
