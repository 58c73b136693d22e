"""Kit documents into the log: all of them or nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import DocumentError
from riglog.library.clock import doubt
from riglog.library.forks import only_head
from riglog.library.known import KnownNouns
from riglog.library.recording import (
    Recorded,
    key_of,
    kind_of,
    place_of,
    record_all,
    record_reading,
)
from riglog.library.standing import moment
from riglog.logbook import now
from riglog.records import to_body

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.interchange import Document
    from riglog.library.recording import Noun
    from riglog.logbook import Reader, Transaction
    from riglog.records import Reading
    from riglog.records.measurements import Measurement


def read_documents(files: Sequence[str]) -> list[Document]:
    """What the files hold; ``-`` is standard input.

    Raises
    ------
    CallError
        If a file cannot be read.
    """
    from riglog.interchange import read_document, read_file

    return [
        read_document(_standard_input()) if file == "-" else read_file(file)
        for file in dict.fromkeys(files)
    ]


def _standard_input() -> bytes:
    import sys

    from riglog.interchange.source import LARGEST

    return sys.stdin.buffer.read(LARGEST + 1)


def check(log: Reader, documents: Sequence[Document]) -> None:
    """Refuse documents in which anything is wrong.

    Raises
    ------
    DocumentError
        With everything that is wrong in any of them.
    """
    from riglog.interchange import cross_check

    if findings := cross_check(documents, KnownNouns(log)):
        count = "1 mistake" if len(findings) == 1 else f"{len(findings)} mistakes"
        files = "1 file" if len(documents) == 1 else f"{len(documents)} files"
        raise DocumentError(f"{count} in {files}: nothing was recorded", findings=findings)


def add(log: Transaction, documents: Sequence[Document], author: str) -> list[Recorded]:
    """Record what checked documents hold: things first, then readings as they were taken."""
    found = record_all(log, _nouns(documents), author)
    there = _ReadingsThere(log)
    for reading in _readings(documents):
        known = there.same(reading)
        found.append(known or record_reading(log, reading, author))
        there.note(reading)
    return [*found, *_record_measurements(log, documents, author)]


def plan(log: Reader, documents: Sequence[Document]) -> list[Recorded]:
    """What ``add`` would do, without doing it.

    Raises
    ------
    ForkError
        As ``add``.
    """
    found = [_planned(log, noun) for noun in _nouns(documents)]
    names = {each.id: each.name for each in found if each.what != "same"}
    there = _ReadingsThere(log)
    for reading in _readings(documents):
        known, build = there.same(reading), reading.build
        if not known and build not in names:
            names[build] = log.version_of(only_head(log, "build", build)).name
        found.append(known or _planned_reading(reading, names[build]))
        there.note(reading)
    return [*found, *_planned_measurements(log, documents)]


def _planned(log: Reader, noun: Noun) -> Recorded:
    place = place_of(log, noun)
    if place.what == "same" and place.head:
        return Recorded(kind_of(noun), noun.id, "same", place.name, place.head.id)
    return Recorded(kind_of(noun), noun.id, place.what, place.name, doubt=place.doubt(now()))


def _planned_reading(reading: Reading, name: str) -> Recorded:
    odd = doubt(reading.on, now())
    return Recorded("reading", reading.build, "new", name, on=reading.on, doubt=odd)


class _ReadingsThere:
    """Readings that need not be recorded again: those of the log, and of this call."""

    def __init__(self, log: Reader) -> None:
        self._log = log
        self._entries: dict[str, dict[str, str]] = {}

    def same(self, reading: Reading) -> Recorded | None:
        """What recorded the very same reading before."""
        entry = self._of(reading.build).get(key_of(to_body(reading)))
        if entry is None:
            return None
        return Recorded("reading", reading.build, "same", entry=entry, on=reading.on)

    def note(self, reading: Reading) -> None:
        """A reading that this call recorded."""
        self._of(reading.build).setdefault(key_of(to_body(reading)), "")

    def _of(self, build: str) -> dict[str, str]:
        if build not in self._entries:
            there = self._log.readings_of(build)
            self._entries[build] = {key_of(entry.body): entry.id for entry in there}
        return self._entries[build]


def _nouns(documents: Sequence[Document]) -> Iterator[Noun]:
    """Components, then rigs, then builds: each before what uses it."""
    for document in documents:
        yield from (placed.noun for placed in document.components)
    for document in documents:
        yield from (placed.noun for placed in document.rigs)
    for document in documents:
        yield from (placed.noun for placed in document.builds)
    for document in documents:
        yield from (placed.noun for placed in document.scales)


def _readings(documents: Sequence[Document]) -> list[Reading]:
    """Oldest first: where a rig stood is told by what was read before."""
    found = [placed.noun for document in documents for placed in document.readings]
    return sorted(found, key=lambda reading: moment(reading.on))


def _measurements(documents: Sequence[Document]) -> list[Measurement]:
    return [placed.noun for document in documents for placed in document.measurements]


def _record_measurements(
    log: Transaction, documents: Sequence[Document], author: str
) -> list[Recorded]:
    from riglog.library.measuring import record_measurement  # few documents have any

    return [record_measurement(log, noun, author) for noun in _measurements(documents)]


def _planned_measurements(log: Reader, documents: Sequence[Document]) -> list[Recorded]:
    from riglog.library.measuring import planned_measurement

    return [planned_measurement(log, noun) for noun in _measurements(documents)]
