"""`list names`, `list tags` and `list notes`: what people said of things, and what says so."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.jobs.described import Describer
from riglog.library.standing import moment

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.jobs.version_answers import Described
    from riglog.library import Library
    from riglog.logbook import Entry, Reader

# Where a document or a reading says the same of itself; a name is given by hand alone.
_FIELDS = {"tag": "tags", "note": "note", "name": ""}
_DOCUMENTS = ("component", "rig", "build")


class Remark(NamedTuple):
    """Words, and what says them: a remark of its own, or what they stand in."""

    words: str
    said: Described


class RemarksAnswer(NamedTuple):
    """All names, tags or notes that count, by their words and then newest first."""

    kind: str
    remarks: Sequence[Remark]


def list_said(library: Library, kind: str) -> RemarksAnswer:
    """All names, tags or notes, each with what it is said of."""
    describer, log = Describer(library), library.logbook
    found = [*_said(log, kind), *_written(log, _FIELDS[kind])]
    found.sort(key=lambda each: -moment(each[1].at))
    if kind != "note":  # the same word is looked for, and of notes the newest
        found.sort(key=lambda each: each[0].casefold())
    return RemarksAnswer(kind, [Remark(words, describer.described(by)) for words, by in found])


def _said(log: Reader, kind: str) -> Iterator[tuple[str, Entry]]:
    """What was said by an entry of its own."""
    for subject in log.subjects(kind):
        for entry in log.heads(kind, subject):
            yield entry.body["text" if kind == "note" else kind], entry


def _written(log: Reader, field: str) -> Iterator[tuple[str, Entry]]:
    """What newest versions and readings say of themselves."""
    if not field:
        return
    for kind in _DOCUMENTS:
        for subject in log.subjects(kind):
            for entry in log.heads(kind, subject):
                if not log.undone(entry.id):
                    yield from _words(entry, field)
    for build in log.subjects("build"):
        for entry in log.readings_of(build):
            yield from _words(entry, field)


def _words(entry: Entry, field: str) -> Iterator[tuple[str, Entry]]:
    said = entry.body.get(field) or ()
    for words in [said] if isinstance(said, str) else said:
        yield words, entry
