"""Entries as people speak of them, and what became of those that count no longer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import NotFoundError
from riglog.jobs.listing import Pivots, read
from riglog.jobs.version_answers import Described, Fate
from riglog.logbook import NOUNS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from riglog.library import Library
    from riglog.logbook import Entry, Version

_WORDS = {"note": "text", "tag": "tag", "name": "name", "undo": "note"}
_ABOUT = {"note": "entry", "tag": "entry", "name": "entry", "undo": "reverses"}
# An undo may be of an undo, and so on; nobody says more of them in one breath.
_DEEP = 3


class Describer:
    """Describes entries of one library, and reads each rig's pivot once."""

    def __init__(self, library: Library) -> None:
        self._log = library.logbook
        self._pivots = Pivots(library)

    def described(self, entry: Entry, deep: int = _DEEP) -> Described:
        """An entry as people speak of it; ``deep`` says how far what it is about is told."""
        told = Described(entry.kind, entry.subject, entry.id, entry.author, entry.at)
        if entry.kind in NOUNS:
            return told._replace(version=self._log.version_of(entry).name)
        if entry.kind == "reading":
            row = read(entry, self._version_read(entry), self._pivots)
            return told._replace(version=row.kept.version, read=row)
        if entry.kind == "measurement":
            from riglog.library.measuring import measurement_of  # numpy, which others do without

            return told._replace(measurement=measurement_of(entry))
        words = entry.body.get(_WORDS.get(entry.kind, ""), "")
        about = (self.described(each, deep - 1) for each in self._about(entry) if deep)
        return told._replace(words=words, about=tuple(about))

    def all(self, entries: Iterable[Entry]) -> tuple[Described, ...]:
        """Several of them."""
        return tuple(map(self.described, entries))

    def fate(self, entry: Entry) -> Fate | None:
        """Why an entry counts no longer; None where it does."""
        if undos := self._log.about(entry.id, "undo"):
            return _fate("undone", undos[-1])
        if self._log.counts(entry):
            return None
        children = self._log.children(entry.id)
        return _fate("corrected", children[-1]) if children else None

    def _about(self, entry: Entry) -> Iterator[Entry]:
        named = entry.body.get(_ABOUT.get(entry.kind, ""), [])
        for entry_id in [named] if isinstance(named, str) else named:
            try:
                yield self._log.entry(entry_id)
            except NotFoundError:
                continue  # not merged in yet

    def _version_read(self, entry: Entry) -> dict[str, Version]:
        name = entry.body["stand"]["version"]
        try:
            return {name: self._log.version_of(self._log.entry(name))}
        except NotFoundError:
            return {}  # the audit's matter


def _fate(how: str, entry: Entry) -> Fate:
    return Fate("undone" if how == "undone" else "corrected", entry.author, entry.at, entry.id)
