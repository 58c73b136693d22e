"""How a ring that hangs to a side is leveled by its two side pivots."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.records import PivotPair
from riglog.wording import figures, moves, objects, readings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.lean_answers import Sides, Way
    from riglog.wording.objects import Json
    from riglog.wording.terms import Terms


def called_out(way: Way, terms: Terms) -> str:
    """Which way each side goes, as one calls it out: ``left pivot up 9, right pivot down 9``.

    In low mode what the rig has on its left hangs on the right.
    """
    sides = way.sides
    if sides is None:
        return "level the camera in its frame, whose guides raise no side"
    if sides.left_m is None or sides.right_m is None:
        # The side of the pivot that is further up hangs lower.
        left, right = ("up", "down") if way.read_rad > 0 else ("down", "up")
        return f"left pivot {left}, right pivot {right}, until it hangs level"
    is_high = terms.mode == "high"
    both = (sides.left_m, sides.right_m) if is_high else (sides.right_m, sides.left_m)
    left, right = (moves.moved_side(each, sides.adjuster, terms) for each in both)
    return f"left pivot {left}, right pivot {right}"


def told(way: Way, terms: Terms) -> Iterator[str]:
    """Where that takes them, what one side alone would do, and whether the guides are alike."""
    sides = way.sides
    if sides is None or way.attention == "none":
        return
    yield from _far(sides, terms)
    if sides.unlike_rad is not None:
        yield (
            f"The readings do not tell {figures.degrees(abs(sides.unlike_rad))} of it: the two"
            " guides are not alike, or the frame is twisted. Note what both read once it hangs"
            " level."
        )


def _far(sides: Sides, terms: Terms) -> Iterator[str]:
    if sides.left_m is None:
        yield "How far, the rig's pivot_width would tell: how far apart its side pivots are."
        return
    alone = figures.distance(2 * sides.left_m, sides.adjuster)
    where = ""
    if sides.left_to_m is not None and sides.right_to_m is not None:
        to = PivotPair(left=sides.left_to_m, right=sides.right_to_m)
        first = "" if terms.mode == "high" else " (the left of high mode first)"
        where = f", to {readings.mark(to, sides.adjuster)}{first}"
    yield (
        f"Half each way{where}, keeps the drop time; one side alone would go {alone}"
        f" {sides.adjuster.unit}, and the {terms.pivot} by half of it."
    )


def tell(sides: Sides | None) -> Json | None:
    """The moves of both sides in millimeters."""
    if sides is None:
        return None
    return {
        "left_move_mm": objects.number(sides.left_m, "mm"),
        "right_move_mm": objects.number(sides.right_m, "mm"),
        "left_to_mm": objects.number(sides.left_to_m, "mm"),
        "right_to_mm": objects.number(sides.right_to_m, "mm"),
        "unlike_deg": objects.number(sides.unlike_rad, "deg"),
    }
