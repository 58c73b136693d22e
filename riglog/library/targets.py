"""What a note, a tag or an undo can be about: a thing, one version of it, or any entry."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import NotFoundError

if TYPE_CHECKING:
    from riglog.library.library import Library
    from riglog.logbook import Entry


class Target(NamedTuple):
    """A thing as such, where ``entry`` is None, else one entry; ``subject`` is the thing's id."""

    kind: str
    subject: str
    entry: Entry | None


def target(library: Library, words: str) -> Target:
    """What ``ID``, ``ID@VERSION`` or the start of an entry's id means.

    Raises
    ------
    CallError, NotFoundError, AmbiguousError, ForkError
        If the words do not name one thing, version or entry.
    """
    if "@" in words:
        entry = library.version(words).entry
        return Target(entry.kind, entry.subject, entry)
    try:
        subject = library.resolve(None, words)
    except NotFoundError as error:
        entry = entry_named(library, words, error)
        return Target(entry.kind, entry.subject, entry)
    return Target(library.logbook.kind_of(subject) or "", subject, None)


def entry_named(library: Library, words: str, error: NotFoundError) -> Entry:
    """The entry whose id starts so; where there is none, raises what was wrong before."""
    try:
        return library.logbook.entry(words)
    except NotFoundError:
        raise error from None
