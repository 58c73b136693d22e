"""What the things of a rig are called in sentences about it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from riglog.wording.layout import harmless

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from riglog.jobs.answers import Move, Named
    from riglog.records import Adjuster

PIVOT = "pivot"
_PIVOTS = {"post": "gimbal", "ring": "side pivots", "": "pivot"}
# The ends of an id that tell an axis, which the direction of a move tells better.
_ENDS = (
    "fore-and-aft", "fore-aft", "side-to-side", "left-right", "side", "up-down", "height",
    "x", "y", "z",
)  # fmt: skip
ALONG = {"x": "fore-aft", "y": "side", "z": "height"}


class Terms(NamedTuple):
    """The words for one rig, and the scales that its figures are read on.

    ``type`` is empty where nobody said what hangs from the pivot. ``scales`` holds adjusters by
    the names that settings have (``stage-side``, ``plate.slide``), the pivot among them. ``sets``
    is the one of them that sets the drop time; it is empty where none does.
    """

    type: Literal["post", "ring", ""]
    mode: Literal["high", "low"]
    scales: Mapping[str, Adjuster]
    sets: str = PIVOT

    @property
    def lift(self) -> str:
        """What sets the drop time: the pivot, or what raises a part where its guides lie."""
        return self.called(self.sets or PIVOT)

    @property
    def lift_stands(self) -> str:
        """Of that: it stands, they stand."""
        return self.stands if self.sets in {PIVOT, ""} else "stands"

    @property
    def pivot(self) -> str:
        """Gimbal on a post rig, side pivots on a ring rig."""
        return _PIVOTS[self.type]

    @property
    def plural(self) -> bool:
        """Whether the pivot is two things."""
        return self.type == "ring"

    @property
    def stands(self) -> str:
        """Of the pivot: it stands, they stand."""
        return "stand" if self.plural else "stands"

    @property
    def held(self) -> str:
        """What a second person holds while the balance is wrong."""
        return "frame" if self.type == "ring" else "camera end"

    @property
    def unit(self) -> str:
        """The unit engraved on the scale of what sets the drop time."""
        return self.scale(self.sets).unit

    def scale(self, name: str) -> Adjuster:
        """The adjuster of that name; the pivot's stands in for one that the answer lacks."""
        return self.scales.get(name) or self.scales[PIVOT]

    def called(self, name: str) -> str:
        """An adjuster where a direction follows: ``stage`` for ``stage-side``.

        Two that move the same way keep their full names, and so does one that the answer lacks:
        nothing tells what else it could be taken for.
        """
        if name == PIVOT:
            return self.pivot
        same = [other for other in self.scales if self._heard(other) == self._heard(name)]
        return self._word(name) if name in self.scales and len(same) == 1 else harmless(name)

    def labeled(self, name: str) -> str:
        """An adjuster where no direction follows: ``stage side`` beside another ``stage``."""
        word = self.called(name)
        others = (self.called(other) for other in self.scales if other != name)
        return f"{word} {ALONG[self.scale(name).axis]}" if word in others else word

    def _heard(self, name: str) -> tuple[str, str]:
        return self._word(name), self.scale(name).axis

    def _word(self, name: str) -> str:
        if name == PIVOT:
            return self.pivot
        owner, point, _ = name.partition(".")
        if point:
            return harmless(owner)
        return harmless(_bare(name))


def _bare(name: str) -> str:
    """An id without the axis that it ends in."""
    ends = (f"-{end}" for end in _ENDS if name.endswith(f"-{end}"))
    return name.removesuffix(next(ends, ""))


def terms_of(named: Named, pivot: Adjuster) -> Terms:
    """Words for an answer that knows the pivot alone."""
    return Terms(named.type, named.mode, {PIVOT: pivot})


def terms_with(named: Named, moves: Sequence[Move], sets: str = PIVOT) -> Terms:
    """Words for an answer that moves adjusters, one of which sets the drop time."""
    return Terms(named.type, named.mode, {move.name: move.adjuster for move in moves}, sets)
