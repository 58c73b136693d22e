"""Settings that the physics ignores, such as turns of an arm's spring: what went with which mass.

They follow the mass that hangs on them, so that what a rig last had near this mass is a good
start. Masses are those that the documents state, or what is usual for a kind.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.priors import figures
from riglog.jobs.remembered_answers import Remembered
from riglog.records import Build, Component, from_body

if TYPE_CHECKING:
    from riglog.library import Library

# So many of the builds that last hung on a rig are looked at.
LATEST = 24


def remembered(library: Library, rig: str, mass_kg: float) -> tuple[Remembered, ...]:
    """For each such setting of builds on a rig, that of the mass nearest to this one."""
    masses = _Masses(library)
    found: dict[str, Remembered] = {}
    for entry in library.logbook.builds_using(rig, limit=LATEST):
        if not entry.body.get("also"):
            continue
        build = from_body(Build, entry.body)
        mass = masses.of(build)
        for key, said in build.also.items():
            known = Remembered(key, said, mass, build.id)
            # Newest first: only a mass that is nearer takes its place.
            nearest = found.setdefault(key, known)
            if abs(mass - mass_kg) < abs(nearest.mass_kg - mass_kg):
                found[key] = known
    return tuple(found[key] for key in sorted(found))


class _Masses:
    """Masses of builds by their documents, each component looked up once."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._known: dict[str, float] = {}

    def of(self, build: Build) -> float:
        """Of all parts of a build [kg]."""
        return sum(self._component(part.component) for part in build.parts)

    def _component(self, name: str) -> float:
        if name not in self._known:
            # A fork is not this reader's to settle.
            head = self._library.logbook.heads("component", name)[-1]
            component = from_body(Component, head.body)
            self._known[name] = self._mass(component)
        return self._known[name]

    def _mass(self, component: Component) -> float:
        if component.mass is None and component.like is not None:
            return self._component(component.like)
        return float(np.exp(figures(component).log_mass))
