"""The nouns that an estimate is made from, as the library hands them over."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from riglog.estimation.measured import Measured
    from riglog.records import Build, Component, Reading, Rig, Setting


class Hung(NamedTuple):
    """A build as it hangs somewhere on some day: what a reading is of, or a question about.

    ``version`` tells one version of the build from another, ``settings`` holds every adjuster's
    reading, ``day`` is the calendar day: what is put together again on another day seats itself
    anew. ``balanced_with`` is for what sits on a powered head and was not balanced anew since it
    hung in another build: that one.
    """

    build: Build
    version: str
    settings: Mapping[str, Setting]
    day: str
    balanced_with: Build | None = None


class Logged(NamedTuple):
    """A reading, by whom, and how the rig hung when it was taken."""

    entry: str
    author: str
    reading: Reading
    hung: Hung


class Weighing(NamedTuple):
    """A mass that somebody found, how well it tells, when it was recorded, and by which means.

    ``modified`` is the day from which the component was the thing that was weighed. ``scale`` is
    the listed scale that it was weighed on, and ``common_sd_kg`` the part of ``sd_kg`` that
    weighings on the same scale have in common.
    """

    mass_kg: float
    sd_kg: float
    author: str
    at: str
    by: str | None
    modified: str | None
    entry: str
    scale: str | None = None
    common_sd_kg: float = 0.0


class Kit(NamedTuple):
    """Rigs and components by id, and the readings that bear on the question.

    ``components`` holds the newest version of each. ``former`` holds, for a component that was
    modified, the versions of the things it was before with the day from which each was no more,
    oldest first. ``weighings`` has every component that was weighed
    more than once or by itself, ``measured`` what else was measured on one by itself; both by the
    key that ``component_on`` gives it.
    """

    rigs: Mapping[str, Rig]
    components: Mapping[str, Component]
    former: Mapping[str, tuple[tuple[str, Component], ...]] = MappingProxyType({})
    readings: tuple[Logged, ...] = ()
    weighings: Mapping[str, tuple[Weighing, ...]] = MappingProxyType({})
    measured: Mapping[str, Measured] = MappingProxyType({})

    def component_on(self, name: str, day: str) -> tuple[str, Component]:
        """The thing that went by this name on a day: its key among the parameters, its figures."""
        for until, component in self.former.get(name, ()):
            if day < until:
                return key_until(name, until), component
        return name, self.components[name]


def key_until(name: str, until: str | None) -> str:
    """Key of what went by a name until a day on which it was modified; None: and still does."""
    return name if until is None else f"{name} until {until}"
