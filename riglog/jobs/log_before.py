"""Jotted lines that were logged before: a page is given again once something was added to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.library.recording import key_of
from riglog.logbook.search import Sought
from riglog.records import to_body

if TYPE_CHECKING:
    from collections.abc import Mapping

    from riglog.library import Library
    from riglog.logbook import Entry
    from riglog.records import Drop

_OF_A_DAY = 1000


class Before:
    """Readings of the log that lines of a page may be; each is that of one line."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._taken: set[str] = set()

    def same(self, reading: Drop) -> Entry | None:
        """The entry that holds the very same reading."""
        key = key_of(to_body(reading))
        there = self._of_the_day(reading)
        return self._take(next((each for each in there if key_of(each.body) == key), None))

    def like(self, reading: Drop) -> list[Entry]:
        """Entries of that day that say the same but for the hour, as they were logged."""
        key = _timeless(to_body(reading))
        return [
            each for each in reversed(self._of_the_day(reading))
            if each.id not in self._taken and _timeless(each.body) == key
        ]  # fmt: skip

    def take(self, entry: Entry) -> Entry:
        """A line is that entry; an equal line below it is another."""
        self._taken.add(entry.id)
        return entry

    def version(self, entry: Entry) -> str:
        """The name of the version that a reading is of."""
        log = self._library.logbook
        return log.version_of(log.entry(entry.body["stand"]["version"])).name

    def _take(self, entry: Entry | None) -> Entry | None:
        return None if entry is None else self.take(entry)

    def _of_the_day(self, reading: Drop) -> list[Entry]:
        """Readings of the build of that day, newest first."""
        day = reading.on[:10]
        there = self._library.logbook.found(Sought(("reading",), days=(day, day)), _OF_A_DAY)
        return [each for each in there if each.subject == reading.build]


def _timeless(body: Mapping[str, object]) -> str:
    return key_of({name: value for name, value in body.items() if name != "on"})
