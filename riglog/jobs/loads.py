"""What each link of the support carries, against what its maker rates it for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.answers import Load, Warned
from riglog.jobs.exchange import above

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.hanging import Hanging


# Links that bear the rig: each carries all but itself and what bears it in turn.
BEARERS = {"arm": ("arm", "vest"), "vest": ("vest",)}
# Kinds of part that bear just what sits on them; a post or frame bears what its rig's mounts do.
_BEARING = frozenset({"stage", "head", "plate", "dovetail"})


def loads_of(hanging: Hanging) -> list[Load]:
    """Load on every rated link.

    The gimbal carries what tilts; the arm everything but itself and the vest, the vest everything
    but itself, where they are listed on mounts of those names. Another link that has the name of
    one of the rig's mounts carries what sits there; one of a mount of a part, as the stage on top
    of a post segment, or of a part or its kind, what sits on that; and every other all there is.
    """
    ranges = hanging.tree.rig.rated_load
    return [
        Load(link, _carried(hanging, link), rated.least, rated.greatest)
        for link, rated in sorted(ranges.items())
    ]


def _carried(hanging: Hanging, link: str) -> float:
    hangs, tree = hanging.hangs, hanging.tree
    if link in BEARERS:
        return float(hangs.weight_kg) - sum(_sits_on(hanging, each) for each in BEARERS[link])
    if link in tree.rig.mounts:
        return _sits_on(hanging, link)
    if link == "gimbal":
        return float(hangs.mass_kg)
    borne = _borne_by(hanging, link)
    return max((_weigh(hanging, each) for each in borne), default=float(hangs.weight_kg))


def _sits_on(hanging: Hanging, mount: str) -> float:
    """Mass of what sits on a mount of the rig, and on that [kg]."""
    tree = hanging.tree
    on = f"{tree.rig.id}/{mount}:"
    there = [seat.startswith(on) for seat in tree.seats]
    return float(hanging.hangs.all_mass_kg[there].sum())


def _borne_by(hanging: Hanging, link: str) -> list[list[str]]:
    """What sits on each mount or part that a link may mean, by their parts' names.

    A mount of that name of a part, or the part of that name, or one of that kind.
    """
    build, day = hanging.hung.build, hanging.hung.day
    found = []
    for part in build.parts:
        noun = hanging.inference.parameters.resolved(part.component, day)[1]
        on = [each for each in build.parts if each.on.rpartition(".")[0] == part.id]
        if link in noun.mounts:
            found.append([each.id for each in on if each.on == f"{part.id}.{link}"])
        elif link == part.id or (link == noun.kind and link in _BEARING):
            found.append([each.id for each in on])
    return found


def _weigh(hanging: Hanging, parts: Sequence[str]) -> float:
    """Mass of parts, and of what sits on them [kg]."""
    build = hanging.hung.build
    all_ = {*parts, *(other for each in parts for other in above(build, each))}
    there = [name in all_ for name in hanging.tree.parts]
    return float(hanging.hangs.all_mass_kg[there].sum())


def worn_kg(hanging: Hanging) -> float | None:
    """All that is carried: rig, gimbal, arm and vest [kg]; None where no arm or vest is listed."""
    listed = [each for each in BEARERS if _sits_on(hanging, each)]
    return float(hanging.hangs.weight_kg) if listed else None


def load_warnings(loads: Sequence[Load]) -> Iterator[Warned]:
    """Links that carry more or less than they are rated for."""
    for load in loads:
        if load.mass_kg > load.greatest_kg:
            yield Warned("over_load", load.link, load.mass_kg, load.greatest_kg)
        if load.least_kg is not None and load.mass_kg < load.least_kg:
            yield Warned("under_load", load.link, load.mass_kg, load.least_kg)
