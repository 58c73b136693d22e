"""What a document's names can mean: its own nouns first, then what the library has."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Protocol

from riglog.errors import listed, nearest

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from riglog.interchange.document import Document, Placed
    from riglog.records import Adjuster, Build, Component, Rig
    from riglog.records.weighing_scale import WeighingScale

KINDS = ("component", "rig", "build", "scale")


class Known(Protocol):
    """The newest version of everything that a library holds."""

    def component(self, name: str) -> Component | None:
        """The component of that exact id."""

    def rig(self, name: str) -> Rig | None:
        """The rig of that exact id."""

    def build(self, name: str) -> Build | None:
        """The build of that exact id."""

    def scale(self, name: str) -> WeighingScale | None:
        """The scale of that exact id."""

    def kind_of(self, name: str) -> str | None:
        """``component``, ``rig``, ``build`` or ``scale``; None where nothing has that id."""

    def ids(self, kind: str) -> Iterable[str]:
        """All ids of a kind; asked for only on the way to a message."""


class Nothing:
    """An empty library."""

    def component(self, name: str) -> None:
        """None."""

    def rig(self, name: str) -> None:
        """None."""

    def build(self, name: str) -> None:
        """None."""

    def scale(self, name: str) -> None:
        """None."""

    def kind_of(self, name: str) -> None:
        """None."""

    def ids(self, kind: str) -> tuple[str, ...]:  # noqa: ARG002 # the same for every kind
        """No ids."""
        return ()


class World:
    """The nouns of some documents, and behind them a library.

    ``unread`` are ids whose noun a document has and could not be read: nothing is said of them,
    for their mistakes have been named.
    """

    def __init__(self, documents: Iterable[Document], known: Known) -> None:
        self.known = known
        self.unread: set[str] = set()
        self._nouns: dict[str, dict[str, Any]] = {kind: {} for kind in KINDS}
        for document in documents:
            self.unread |= document.unread
            for kind, placed in named(document):
                self._nouns[kind].setdefault(placed.noun.id, placed.noun)

    def component(self, name: str) -> Component | None:
        """A component, with the mounts, adjusters and states of what it is like."""
        found = self.bare_component(name)
        return found and self._inherited(found, {name})

    def bare_component(self, name: str) -> Component | None:
        """A component as it was written."""
        return self._nouns["component"].get(name) or self.known.component(name)

    def _inherited(self, unit: Component, seen: set[str]) -> Component:
        if unit.like is None or unit.like in seen:
            return unit
        found = self.bare_component(unit.like)
        if found is None:
            return unit
        type_of = self._inherited(found, seen | {unit.like})
        return replace(
            unit,
            mounts=unit.mounts or type_of.mounts,
            adjusters=unit.adjusters or type_of.adjusters,
            states=unit.states or type_of.states,
        )

    def rig(self, name: str) -> Rig | None:
        """A rig."""
        return self._nouns["rig"].get(name) or self.known.rig(name)

    def build(self, name: str) -> Build | None:
        """A build."""
        return self._nouns["build"].get(name) or self.known.build(name)

    def scale(self, name: str) -> WeighingScale | None:
        """A scale."""
        return self._nouns["scale"].get(name) or self.known.scale(name)

    def is_open(self, component: Component) -> bool:
        """Whether what it is like cannot be told, and so neither its mounts."""
        seen = {component.id}
        while component.like is not None and component.like not in seen:
            seen.add(component.like)
            found = self.bare_component(component.like)
            if found is None or component.like in self.unread:
                return True
            component = found
        return False

    def mend(self, kind: str, name: str, besides: str = "") -> str:
        """What to write for a name that no noun of that kind has."""
        other = self.kind_of(name)
        if other:
            return f"it is a {other}; write the id of a {kind}"
        near = nearest(name, sorted({*self._nouns[kind], *self.known.ids(kind)} - {besides}))
        return f"did you mean {near}?" if near else f"add the {kind} to the document"

    def kind_of(self, name: str) -> str | None:
        """The kind of what has an id."""
        own = (kind for kind in KINDS if name in self._nouns[kind])
        return next(own, None) or self.known.kind_of(name)


def named(document: Document) -> Iterator[tuple[str, Placed[Any]]]:
    """Kind and noun of all in a document that has an id."""
    nouns: dict[str, tuple[Placed[Any], ...]] = {
        "component": document.components,
        "rig": document.rigs,
        "build": document.builds,
        "scale": document.scales,
    }
    for kind, found in nouns.items():
        for placed in found:
            yield kind, placed


def unknown_words(word: str, known: Iterable[str], noun: str) -> str:
    """Mend for a name inside a noun: the nearest one there is, else all of them."""
    words = list(known)
    near = nearest(word, words)
    if near:
        return f"did you mean {near}?"
    return f"the {noun} are {listed(words, 'and')}" if words else f"there are no {noun}"


def by_id(adjusters: Iterable[Adjuster]) -> dict[str, Adjuster]:
    """Adjusters by their names."""
    return {adjuster.id: adjuster for adjuster in adjusters}
