"""What the library knows that bears on a question: nouns and readings, nearest first.

Readings are fetched in rounds, of the build itself, of its rig, of the parts asked about, those
of the likest builds first and each round bounded, so that the work grows with the answer and not
with the library. The estimator takes the best of them.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING

from riglog.estimation.kit import Hung, Kit, Logged, Weighing
from riglog.library.forks import newest
from riglog.library.standing import reading_of
from riglog.library.weighings import weighings
from riglog.records import Build, Component, Rig, from_body

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from riglog.estimation.measured import Measured
    from riglog.library.earlier import Log
    from riglog.logbook.entry import Entry

OF_BUILD, OF_RIG, OF_PART, OF_OTHER = 12, 16, 16, 6
# So many of the newest readings of a rig or part are looked at for those of the likest builds.
AMONG = 200
# Of all the parts asked about together; a table of lenses asks about many.
OF_PARTS, LEAST_OF_PART = 200, 2
# Of one build in a round: more of the same tells little more.
OF_ONE = 2


def kit_for(
    log: Log, asked: Sequence[Hung], parts: Sequence[str], also: Sequence[Entry] = ()
) -> Kit:
    """Rigs, components and the best readings for questions about builds as they hang.

    Parameters
    ----------
    asked
        The builds in question.
    parts
        Ids of the components that the question is about, such as those exchanged.
    also
        Entries of readings that are wanted whatever they tell.
    """
    gathering = _Gathering(log)
    for entry in _entries(log, asked, parts, also):
        gathering.add(entry)
    gathering.need([hung.build for hung in asked])
    return gathering.kit()


def _entries(
    log: Log, asked: Sequence[Hung], parts: Sequence[str], also: Sequence[Entry]
) -> Iterator[Entry]:
    """Entries of readings, each once, in the order of the log."""
    found = {entry.id: entry for entry in also}
    builds = {hung.build.id for hung in asked}
    rigs = {hung.build.rig for hung in asked}
    others = sorted({part.component for hung in asked for part in hung.build.parts})

    def alike(things: Iterable[str], limit: int) -> Iterator[list[Entry]]:
        wanted = [*sorted(rigs), *others]
        return (
            log.readings_alike(thing, wanted, limit=limit, each=OF_ONE, among=AMONG)
            for thing in sorted(things)
        )

    _note(found, (log.readings_of(build, limit=OF_BUILD) for build in sorted(builds)))
    _note(found, alike(rigs, OF_RIG))
    of_part = min(OF_PART, max(LEAST_OF_PART, OF_PARTS // max(len(parts), 1)))
    _note(found, alike(parts, of_part))
    _note(found, alike(others, OF_OTHER))
    return _each_once(sorted(found.values(), key=lambda entry: entry.seq))


def _each_once(entries: Iterable[Entry]) -> Iterator[Entry]:
    """Readings without those that are as written again: one document recorded on two machines."""
    seen: dict[tuple[str, str], list[dict[str, object]]] = defaultdict(list)
    for entry in entries:
        written = {key: value for key, value in entry.body.items() if key != "stand"}
        alike = seen[entry.subject, entry.body["on"]]
        if written not in alike:
            alike.append(written)
            yield entry


def _note(found: dict[str, Entry], rounds: Iterable[list[Entry]]) -> None:
    for entry in chain.from_iterable(rounds):
        found.setdefault(entry.id, entry)


def logged(entry: Entry, build: Build, version: str) -> Logged:
    """A reading as the estimator takes it, of a version of its build."""
    reading, stand = reading_of(entry)
    hung = Hung(
        build=replace(build, states=stand.states, head=stand.head),
        version=version,
        settings=stand.settings,
        day=reading.on[:10],
    )
    return Logged(entry=entry.id, author=entry.author, reading=reading, hung=hung)


class _Gathering:
    """Nouns as they are needed, each read once."""

    def __init__(self, log: Log) -> None:
        self._log = log
        self._versions: dict[str, tuple[Build, str]] = {}
        self._readings: list[Logged] = []
        self._rigs: dict[str, Rig] = {}
        self._components: dict[str, Component] = {}
        self._former: dict[str, tuple[tuple[str, Component], ...]] = {}
        self._weighings: dict[str, tuple[Weighing, ...]] = {}
        self._measured: dict[str, Measured] = {}

    def add(self, entry: Entry) -> None:
        """A reading, and all that its build is made of."""
        version = entry.body["stand"]["version"]
        if version not in self._versions:
            told = self._log.entry(version)
            build = from_body(Build, told.body)
            self._versions[version] = build, self._log.first_twin(told)
            self.need([build])
        self._readings.append(logged(entry, *self._versions[version]))

    def need(self, builds: Iterable[Build]) -> None:
        """Everything that these builds are made of."""
        for build in builds:
            if build.rig not in self._rigs:
                self._rigs[build.rig] = from_body(Rig, self._newest("rig", build.rig).body)
            for part in build.parts:
                self._component(part.component)

    def _component(self, name: str) -> None:
        if name in self._components:
            return
        heads = self._log.heads("component", name)
        component = from_body(Component, newest(heads).body)
        if len(heads) > 1 or heads[0].parents:
            component = self._weighed(component)
        self._components[name] = component
        if component.modified is not None:
            self._former[name] = self._epochs(name)
            for _, former in self._former[name]:
                if former.like is not None:
                    self._component(former.like)
        if component.like is not None:
            self._component(component.like)
        self._measure(name)

    def _measure(self, name: str) -> None:
        """What was measured on a component, each of the thing that it was on that day."""
        entries = self._log.heads("measurement", name)
        if not entries:
            return
        from riglog.library.measuring import measured_by_thing  # few components are measured

        epochs = [until for until, _ in self._former.get(name, ())]
        for key, found in measured_by_thing(self._log, name, entries, epochs).items():
            self._measured[key] = found.measured
            if found.weighings:
                self._weigh(key, name, found.weighings)

    def _weigh(self, key: str, name: str, found: tuple[Weighing, ...]) -> None:
        """Weighings by themselves, beside those that its versions state."""
        if key != name:  # what it was before goes by what was weighed then
            self._weighings[key] = found
            return
        stated = self._weighings.get(name) or weighings(
            self._log, self._log.versions("component", name)
        )
        self._weighings[name] = (*stated, *found)
        if self._components[name].mass is None:
            last = found[-1]
            self._components[name] = replace(
                self._components[name], mass=last.mass_kg, mass_sd=last.sd_kg
            )

    def _weighed(self, component: Component) -> Component:
        """The component with a mass that only another head of it states; all its weighings kept."""
        found = weighings(self._log, self._log.versions("component", component.id))
        if len(found) > 1:
            self._weighings[component.id] = found
        if component.mass is None and found:
            return replace(component, mass=found[-1].mass_kg, mass_sd=found[-1].sd_kg)
        return component

    def _newest(self, kind: str, name: str) -> Entry:
        # A fork is not this reader's to settle: one of two heads is as good a guess as the other.
        return newest(self._log.heads(kind, name))

    def _epochs(self, name: str) -> tuple[tuple[str, Component], ...]:
        """What a component was before each day on which it was modified, oldest first."""
        epochs: list[tuple[str, Component]] = []
        before: Component | None = None
        for version in self._log.versions("component", name):
            now = from_body(Component, version.entry.body)
            if before is not None and now.modified and now.modified != before.modified:
                epochs.append((now.modified, before))
            before = now
        return tuple(sorted(epochs, key=lambda epoch: epoch[0]))

    def kit(self) -> Kit:
        """All that was gathered."""
        return Kit(
            rigs=self._rigs,
            components=self._components,
            former=self._former,
            readings=tuple(self._readings),
            weighings=self._weighings,
            measured=self._measured,
        )
