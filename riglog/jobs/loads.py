"""What each link of the support carries, against what its maker rates it for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.answers import Load, Warned

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.inference import Hanging


def loads_of(hanging: Hanging) -> list[Load]:
    """Load on every rated link.

    A link that has the name of one of the rig's mounts carries what sits there, the gimbal what
    tilts, and every other all there is.
    """
    ranges = hanging.tree.rig.rated_load
    return [
        Load(link, _carried(hanging, link), rated.least, rated.greatest)
        for link, rated in sorted(ranges.items())
    ]


def _carried(hanging: Hanging, link: str) -> float:
    hangs, tree = hanging.hangs, hanging.tree
    if link in tree.rig.mounts:
        on = f"{tree.rig.id}/{link}:"
        there = [seat.startswith(on) for seat in tree.seats]
        return float(hangs.all_mass_kg[there].sum())
    return float(hangs.mass_kg if link == "gimbal" else hangs.weight_kg)


def load_warnings(loads: Sequence[Load]) -> Iterator[Warned]:
    """Links that carry more or less than they are rated for."""
    for load in loads:
        if load.mass_kg > load.greatest_kg:
            yield Warned("over_load", load.link, load.mass_kg, load.greatest_kg)
        if load.least_kg is not None and load.mass_kg < load.least_kg:
            yield Warned("under_load", load.link, load.mass_kg, load.least_kg)
