"""Which adjusters of a build may move: one for fore-aft, one for side, one for height, and more."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import CallError, UnreachableError
from riglog.library.adjusters import named_adjuster

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.tree import Tree

_X, _Y, _Z = range(3)


def free_adjusters(tree: Tree, free: Sequence[str], hold: Sequence[str]) -> list[list[int]]:
    """For fore-aft, side and height the adjusters that may move, in the order of their use.

    Those are the pivot along its own axis, and along the others the first listed that moves a part;
    then all others that ``free`` names; none of ``hold``.

    Raises
    ------
    CallError
        If a word names no adjuster of the build, or one that moves nothing along its axis.
    """
    free, hold = (
        [named_adjuster(each, tree.adjusters) for each in words] for words in (free, hold)
    )
    for name in free:
        if name in hold:
            raise CallError(f"{name} cannot both move and stay", hint="say --free or --hold")
        if not may_move(tree, tree.adjusters.index(name)):
            raise CallError(
                f"{name} moves nothing fore and aft or side to side", hint="leave it out"
            )
    return [_along(tree, axis, free, hold) for axis in (_X, _Y, _Z)]


def _along(tree: Tree, axis: int, free: Sequence[str], hold: Sequence[str]) -> list[int]:
    moving = [i for i in range(len(tree.scales)) if tree.along(i) == axis and may_move(tree, i)]
    # The pivot goes before all others.
    moving.sort(key=lambda index: index != tree.pivot)
    usual = [index for index in moving if tree.adjusters[index] not in hold][:1]
    more = [index for index in moving if tree.adjusters[index] in free and index not in usual]
    return usual + more


def may_move(tree: Tree, index: int) -> bool:
    """Whether an adjuster can be let free: where the pivot sets the height, nothing else does."""
    if index == tree.pivot:
        return True
    upright = tree.lift == tree.pivot
    return tree.moves_a_part(index) and not (upright and tree.along(index) == _Z)


def lift_of(tree: Tree) -> int:
    """The adjuster that sets the drop time.

    Raises
    ------
    UnreachableError
        If there is none: the guides lie fore and aft, and nothing moves a part up and down.
    """
    if tree.lift is None:
        raise UnreachableError(
            f"nothing on {tree.build.id} sets its drop time: its guides lie fore and aft, and no"
            " adjuster moves a part up and down",
            hint="ask for no drop time, or list an adjuster along z under a part's mount",
        )
    return tree.lift
