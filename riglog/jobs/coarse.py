"""Coarse before fine: where two adjusters go along one axis, the coarse one does the way.

A fine knob is left in the middle third of its travel, so that it can be turned either way.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from riglog.estimation.tree import Tree
    from riglog.mechanics.arrays import FloatArray


def coarse_first(tree: Tree, groups: Iterable[Sequence[int]]) -> list[list[int]]:
    """Each axis's adjusters by their steps, the coarsest first; equal ones as they were."""
    return [sorted(group, key=lambda index: -tree.scales[index].step) for group in groups if group]


def center_fine(tree: Tree, groups: Iterable[Sequence[int]], positions_m: FloatArray) -> None:
    """Put what is finer than its axis's first adjuster in the middle, if it stands further out."""
    for coarse, *others in groups:
        for index in others:
            scale = tree.scales[index]
            if scale.travel is None or not is_finer(tree, index, coarse):
                continue
            low, high = scale.travel
            reading = scale.scale.reading(float(positions_m[index]))
            if not (2 * low + high) / 3 <= reading <= (low + 2 * high) / 3:
                positions_m[index] = scale.scale.position((low + high) / 2)


def is_finer(tree: Tree, index: int, than: int) -> bool:
    """Whether an adjuster can be set more finely than another."""
    return tree.scales[index].step < tree.scales[than].step
