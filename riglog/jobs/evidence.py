"""What an answer rests on, and what it took for granted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.estimation.tree import UNLISTED
from riglog.jobs.answers import Evidence

if TYPE_CHECKING:
    from riglog.estimation.inference import Hanging

# A reading that is wild with at least this probability is worth a word.
_DOUBT = 0.5


def evidence_of(hanging: Hanging) -> Evidence:
    """Readings that were used, and the gaps that priors filled."""
    kit, tree = hanging.inference.kit, hanging.tree
    names = {part.component for part in hanging.hung.build.parts}
    return Evidence(
        drops=sum(logged.reading.kind == "drop" for logged in kit.readings),
        readings=len(kit.readings),
        unweighed=sorted(name for name in names if _unweighed(hanging, name)),
        unlisted=UNLISTED in tree.parts,
        unset=[name for name in tree.adjusters if name not in hanging.hung.settings],
        doubted=_doubted(hanging),
        kept_out=_kept_out(hanging),
        on_head=hanging.tree.aside is not None and hanging.hung.balanced_with is None,
    )


def _unweighed(hanging: Hanging, name: str) -> bool:
    component = hanging.inference.kit.components[name]
    if component.mass is not None:
        return False
    return component.like is None or _unweighed(hanging, component.like)


def _kept_out(hanging: Hanging) -> list[tuple[str, tuple[str, ...]]]:
    build = hanging.hung.build.id
    found = hanging.inference.kept_out
    return [(logged.entry, why) for logged, why in found if logged.hung.build.id == build]


def _doubted(hanging: Hanging) -> list[tuple[str, float]]:
    """Entries of readings that are probably wild, with the probability."""
    inference = hanging.inference
    claims = inference.observations.claims
    share = {claims[index].reading: 1.0 for index in inference.slips}
    for wild, probability in zip(inference.why.wild, inference.why.probability, strict=True):
        for claim in wild[wild >= 0]:
            reading = claims[claim].reading
            share[reading] = min(share.get(reading, 0.0) + float(probability), 1.0)
    readings = inference.kit.readings
    return [(readings[index].entry, p) for index, p in sorted(share.items()) if p > _DOUBT]
