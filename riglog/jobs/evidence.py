"""What an answer rests on, and what it took for granted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.estimation.priors import disputed
from riglog.estimation.tree import UNLISTED
from riglog.jobs.answers import Evidence, Warned

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging


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
        doubted=list(hanging.inference.doubted().items()),
        kept_out=_kept_out(hanging),
        on_head=bool(tree.payload) and hanging.hung.balanced_with is None,
        disputed=sorted(name for name in names if disputed(kit.weighings.get(name, ()))),
    )


def doubts(evidence: Evidence) -> tuple[Warned, ...]:
    """A warning of each reading that is likelier wild than not."""
    return tuple(Warned("wild_reading", entry[:8], share) for entry, share in evidence.doubted)


def _unweighed(hanging: Hanging, name: str) -> bool:
    component = hanging.inference.kit.components[name]
    if component.mass is not None:
        return False
    return component.like is None or _unweighed(hanging, component.like)


def _kept_out(hanging: Hanging) -> list[tuple[str, tuple[str, ...]]]:
    build = hanging.hung.build.id
    found = hanging.inference.kept_out
    return [(logged.entry, why) for logged, why in found if logged.hung.build.id == build]
