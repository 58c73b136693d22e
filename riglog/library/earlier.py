"""The log as it was before one of its entries was recorded.

The order of the log is that of the parents: an entry stands behind all that it came from, whatever
any clock says. So what is known before an entry is what stands above it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from riglog.logbook import NOUNS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.logbook import Reader, Version
    from riglog.logbook.entry import Entry


class Log(Protocol):
    """What an estimate asks of a log; see ``Reader``."""

    def entry(self, name: str) -> Entry:
        """The entry of an id."""

    def heads(self, kind: str, subject: str) -> list[Entry]:
        """Entries of a thing that nothing supersedes."""

    def versions(self, kind: str, subject: str) -> list[Version]:
        """Every version of a thing."""

    def undone(self, entry_id: str) -> bool:
        """Whether an undo of an entry counts."""

    def first_twin(self, entry: Entry) -> str:
        """The id that stands for an entry and its twins."""

    def readings_of(self, build: str, *, limit: int) -> list[Entry]:
        """The newest readings of a build."""

    def readings_alike(
        self, thing: str, things: Sequence[str], *, limit: int, each: int, among: int
    ) -> list[Entry]:
        """Readings of builds that use one thing, those of the likest builds first."""


class Past:
    """A log whose states are asked about one after another."""

    def __init__(self, log: Reader) -> None:
        self._log = log
        self._versions: dict[tuple[str, str], list[Version]] = {}

    def before(self, entry: Entry) -> Log:
        """The log before that entry."""
        return _Earlier(self._log, self._versions, entry.seq)


class _Earlier:
    def __init__(
        self, log: Reader, versions: dict[tuple[str, str], list[Version]], before: int
    ) -> None:
        self._log = log
        self._versions = versions
        self._before = before

    def entry(self, name: str) -> Entry:
        return self._log.entry(name)

    def heads(self, kind: str, subject: str) -> list[Entry]:
        entries = [version.entry for version in self.versions(kind, subject)]
        superseded = {parent for entry in entries for parent in entry.parents}
        return [entry for entry in entries if entry.id not in superseded]

    def versions(self, kind: str, subject: str) -> list[Version]:
        if (kind, subject) not in self._versions:
            self._versions[kind, subject] = self._log.versions(kind, subject)
        known = self._versions[kind, subject]
        before = [each for each in known if each.entry.seq < self._before]
        # What was merged may name things that came later; then the first is all that was known.
        return before or (known[:1] if kind in NOUNS else [])

    def undone(self, entry_id: str) -> bool:
        return self._log.undone(entry_id)

    def first_twin(self, entry: Entry) -> str:
        return self._log.first_twin(entry)

    def readings_of(self, build: str, *, limit: int) -> list[Entry]:
        return self._log.readings_of(build, limit=limit, before=self._before)

    def readings_alike(
        self, thing: str, things: Sequence[str], *, limit: int, each: int, among: int
    ) -> list[Entry]:
        return self._log.readings_alike(
            thing, things, limit=limit, each=each, among=among, before=self._before
        )
