"""What documents can refer to: the newest version of everything that the log holds."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from riglog.library.forks import newest
from riglog.records import Build, Component, Rig, from_body
from riglog.records.weighing_scale import WeighingScale

if TYPE_CHECKING:
    from riglog.logbook import Reader


class KnownNouns:
    """The log as checks of documents see it. Of a fork, one head stands for the thing."""

    def __init__(self, log: Reader) -> None:
        self._log = log
        self._newest = cache(self._read)

    def component(self, name: str) -> Component | None:
        """The component of that exact id."""
        found: Component | None = self._newest(Component, "component", name)
        return found

    def rig(self, name: str) -> Rig | None:
        """The rig of that exact id."""
        found: Rig | None = self._newest(Rig, "rig", name)
        return found

    def build(self, name: str) -> Build | None:
        """The build of that exact id."""
        found: Build | None = self._newest(Build, "build", name)
        return found

    def scale(self, name: str) -> WeighingScale | None:
        """The scale of that exact id."""
        found: WeighingScale | None = self._newest(WeighingScale, "scale", name)
        return found

    def kind_of(self, name: str) -> str | None:
        """``component``, ``rig``, ``build`` or ``scale``; None where nothing has that id."""
        return self._log.kind_of(name)

    def ids(self, kind: str) -> list[str]:
        """All ids of a kind."""
        return self._log.subjects(kind)

    def _read(self, noun: Any, kind: str, name: str) -> Any:
        heads = self._log.heads(kind, name)
        return from_body(noun, newest(heads).body) if heads else None
