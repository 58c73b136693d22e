"""Lists of what makes up each part, to arrays over the columns that a tree depends on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from riglog.estimation.parameters import Columns
    from riglog.mechanics.arrays import FloatArray

    # A block of parameters, and how it is turned into the rig frame: (3, 3), or fewer columns.
    Shift = tuple[FloatArray, Columns]


def columns_of(blocks: Iterable[Columns]) -> dict[int, int]:
    """Each parameter's place among those that are used, in the order in which they are met."""
    columns: dict[int, int] = {}
    for block in blocks:
        for column in block:
            columns.setdefault(column, len(columns))
    return columns


def scalar_matrix(blocks: Sequence[Sequence[Columns]], columns: Mapping[int, int]) -> FloatArray:
    """Rows that add up the blocks of one figure each, (n, q)."""
    matrix = np.zeros((len(blocks), len(columns)))
    for row, group in enumerate(blocks):
        for block in group:
            matrix[row, columns[block[0]]] += 1.0
    return matrix


def vector_matrix(shifts: Sequence[Sequence[Shift]], columns: Mapping[int, int]) -> FloatArray:
    """Rows that add up the blocks of a vector each, turned, (n, 3, q)."""
    matrix = np.zeros((len(shifts), 3, len(columns)))
    for row, group in enumerate(shifts):
        for turn, block in group:
            matrix[row, :, [columns[column] for column in block]] += turn.T
    return matrix


def slide_matrix(slides: Sequence[Mapping[str, FloatArray]], names: Sequence[str]) -> FloatArray:
    """Change of each part's place per unit of each adjuster's position, (n, a, 3)."""
    matrix = np.zeros((len(slides), len(names), 3))
    for row, moved in enumerate(slides):
        for name, axis in moved.items():
            matrix[row, names.index(name)] = axis
    return matrix
