"""How good the marks are on rings and in low mode: the program beside the dense MAP.

    python tests/benchmarks/kinds.py --rigs 2000

A lens is changed on 10 kg rings, whose two side pivots were each read, on such rings with guides
that lean by 25 degrees, and on full-size post rigs in low mode; and post rigs that were logged in
high mode are converted.
"""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from accuracy import HEADING, scores
from rig_documents import LEANING, LOW, RING
from swap_cases import Case, conversion_case, swap_case

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

_DROPS = (0, 1, 3)


def table(rigs: int) -> Iterator[str]:
    """All of it, line by line as it is known."""
    yield HEADING
    for wanted_s in (1.5, 2.0):
        family = replace(RING, wanted_s=wanted_s)
        for drops in _DROPS:
            rings = (swap_case(family, index, drops) for index in range(rigs))
            yield from scores(rings, dense=True).lines(f"rings at {wanted_s} s, {drops} logged")
    for wanted_s in (1.5, 2.0):
        family = replace(LEANING, wanted_s=wanted_s)
        for drops in _DROPS:
            rings = (swap_case(family, index, drops) for index in range(rigs))
            yield from scores(rings, dense=True).lines(f"leaning at {wanted_s} s, {drops} logged")
    for drops in _DROPS:
        low = (swap_case(LOW, index, drops) for index in range(rigs))
        yield from scores(low, dense=True).lines(f"low mode at 3.0 s, {drops} logged")
    for drops in (1, 3):
        converted = (conversion_case(LOW, index, drops) for index in range(rigs))
        yield from scores(converted, dense=True).lines(f"high to low at 3.0 s, {drops} logged")
    yield _size([swap_case(RING, index, 0) for index in range(min(rigs, 200))])


def _size(cases: list[Case]) -> str:
    hangs = [case.truth.hanging for case in cases]
    found = [each.composite(each.trimmed(each.neutral())) for each in hangs]
    mass = np.mean([kg for kg, _, _ in found])
    gyration = np.mean([(inertia / kg) ** 0.5 for kg, _, inertia in found])
    return f"  the rings: {mass:.1f} kg, k {gyration:.3f} m on average"


def main(words: list[str] | None = None, say: Callable[[str], None] = print) -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rigs", type=int, default=2000)
    rigs = parser.parse_args(words).rigs
    say(f"{rigs} simulated rigs in each row")
    for line in table(rigs):
        say(line)


if __name__ == "__main__":
    main()
