"""The nouns that an estimate is made from, as the library hands them over."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

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

    ``modified`` is the day from which the component was the thing that was weighed.
    """

    mass_kg: float
    sd_kg: float
    author: str
    at: str
    by: str | None
    modified: str | None
    entry: str


class Kit(NamedTuple):
    """Rigs and components by id, and the readings that bear on the question.

    ``components`` holds the newest version of each. ``former`` holds, for a component that was
    modified, the versions of the things it was before with the day from which each was no more,
    oldest first. ``weighings`` has every component that was weighed more than once.
    """

    rigs: Mapping[str, Rig]
    components: Mapping[str, Component]
    former: Mapping[str, tuple[tuple[str, Component], ...]] = MappingProxyType({})
    readings: tuple[Logged, ...] = ()
    weighings: Mapping[str, tuple[Weighing, ...]] = MappingProxyType({})

    def component_on(self, name: str, day: str) -> tuple[str, Component]:
        """The thing that went by this name on a day: its key among the parameters, its figures."""
        for until, component in self.former.get(name, ()):
            if day < until:
                return f"{name} until {until}", component
        return name, self.components[name]
