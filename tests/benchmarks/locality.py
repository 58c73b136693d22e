"""How much is lost by taking the best readings of a house instead of all of them.

python tests/benchmarks/locality.py
"""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from house import AUTHOR, build_house

import riglog.estimation.evidence as selection
import riglog.library.evidence as source
from riglog.estimation.inference import Inference
from riglog.jobs.free import free_adjusters
from riglog.jobs.placing import place
from riglog.library import Library

if TYPE_CHECKING:
    from collections.abc import Callable

    from riglog.estimation.kit import Hung, Kit

READINGS = 400
WANTED_S = 3.0


def _all(library: Library, asked: Hung) -> Kit:
    """Every reading of the house, none passed over."""
    source.OF_BUILD = source.OF_RIG = source.OF_PART = source.OF_ONE = source.AMONG = READINGS + 1
    return source.kit_for(library.logbook, [asked], [p.component for p in asked.build.parts])


def main(say: Callable[[str], None] = print) -> None:
    """Print the standard deviations of a swap's mark with the best readings and with all."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "house.db"
        build_house(path, readings=READINGS)
        with Library.open(path, AUTHOR) as library:
            hung = library.standing("a-cam").hung("2026-03-02")
            parts = tuple(
                replace(part, component="lens-2") if part.component == "lens-1" else part
                for part in hung.build.parts
            )
            asked = hung._replace(build=replace(hung.build, parts=parts), version="asked")
            best = source.kit_for(library.logbook, [asked], ["lens-1", "lens-2"])
            everything = _all(library, asked)
    sds, used = [], []
    for kit, few in ((best, selection._FEW), (everything, READINGS)):
        selection._FEW = few
        inference = Inference(kit, [asked])
        hanging = inference.stands[0]
        used.append(len(inference.kit.readings))
        placed = place(hanging, free_adjusters(hanging.tree, [], []), WANTED_S)
        sds.append(placed.estimates[hanging.tree.pivot].standard_deviation)
    say(
        f"mark after a swap: {1e3 * sds[0]:.3f} mm from the {used[0]} best readings, "
        f"{1e3 * sds[1]:.3f} mm from all {used[1]}: "
        f"{sds[0] / sds[1]:.3f} times (at most 1.15)"
    )


if __name__ == "__main__":
    main()
