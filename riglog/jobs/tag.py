"""`tag`: words to find things by, put on and taken off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import CallError, NotFoundError, listed, quoted
from riglog.jobs.described import Describer
from riglog.jobs.version_answers import TagAnswer
from riglog.library.remarks import say
from riglog.library.targets import target
from riglog.library.undoing import plan, record

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.library import Library
    from riglog.library.targets import Target
    from riglog.logbook import Entry, Reader, Transaction


def tag(library: Library, about: str, words: Sequence[str], *, remove: bool = False) -> TagAnswer:
    """Put tags on a thing, a version of it or any entry, or take them off.

    Raises
    ------
    CallError
        If a tag is none, or stands in a document, which tells it anew.
    NotFoundError, AmbiguousError, ForkError
        If ``about`` does not name one thing, or it has no such tag to take off.
    """
    from riglog.interchange.forms import line

    tags = list(dict.fromkeys(line(word.strip()) for word in words))
    if not all(tags):
        raise CallError("a tag is empty", hint="write a word")
    added: list[Entry] = []
    with library.logbook.writing() as log:
        meant = target(library, about)
        if remove:
            _take_off(log, meant, tags, library.author)
        else:
            new = [each for each in tags if each not in _tags(log, meant)]
            added = [say(log, "tag", meant, {"tag": each}, library.author).entry for each in new]
        left = _tags(log, meant)
    describer = Describer(library)
    there = () if meant.entry is None else (describer.described(meant.entry),)
    removed = tags if remove else []
    return TagAnswer(meant.subject, there, describer.all(added), removed, left)


def _said(log: Reader, meant: Target) -> list[Entry]:
    """Tags that were put on it."""
    if meant.entry is not None:
        return log.about(meant.entry.id, "tag")
    return [each for each in log.heads("tag", meant.subject) if "entry" not in each.body]


def _written(log: Reader, meant: Target) -> list[str]:
    """Tags that its document has."""
    bodies = [meant.entry] if meant.entry else log.heads(meant.kind, meant.subject)
    return [word for each in bodies for word in each.body.get("tags", [])]


def _tags(log: Reader, meant: Target) -> list[str]:
    """All tags of a thing or an entry, as they were put on."""
    said = [each.body["tag"] for each in _said(log, meant)]
    return list(dict.fromkeys([*_written(log, meant), *said]))


def _take_off(log: Transaction, meant: Target, tags: Sequence[str], author: str) -> None:
    """Undo whatever put them on, by whomever: two people may have, apart from each other."""
    said = _said(log, meant)
    for word in tags:
        if word in _written(log, meant):
            hint = "add the document again without it"
            raise CallError(f"{quoted(word)} stands in the document of {meant.subject}", hint=hint)
        found = [each for each in said if each.body["tag"] == word]
        if not found:
            has = _tags(log, meant)
            hint = f"it has {listed(has, 'and')}" if has else "it has none"
            raise NotFoundError(f"{meant.subject} has no tag {quoted(word)}", hint=hint)
        for each in found:
            record(log, plan(log, each), author)
