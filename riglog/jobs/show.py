"""`show`: what one thing says, as a kit document, and how it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import NoAnswerError, NotFoundError
from riglog.jobs.listing import Kept, Pivots, kept, read, thing
from riglog.library.adjusters import adjusters_of
from riglog.library.forks import is_fork
from riglog.library.standing import reading_of, where
from riglog.records import Adjuster, Build, Component, Rig, Setting, from_body

if TYPE_CHECKING:
    from collections.abc import Mapping

    from riglog.library import Library
    from riglog.logbook import Entry, Version
    from riglog.records import Reading


class Stands(NamedTuple):
    """Where every adjuster of a build stands, on its scale, and what told that and when."""

    settings: Mapping[str, Setting]
    adjusters: Mapping[str, Adjuster]
    since: str


class ShowAnswer(NamedTuple):
    """One version of a thing, or a reading; ``stands`` where a rig stands or stood."""

    kind: str
    id: str
    kept: Kept
    newest: bool
    noun: Component | Rig | Build | Reading
    stands: Stands | None = None


def show(library: Library, words: str) -> ShowAnswer:
    """What ``ID``, ``ID@VERSION`` or the start of an entry's id names.

    Raises
    ------
    CallError, NotFoundError, AmbiguousError
        If the words do not name one thing.
    ForkError
        If it has two heads and no version is named.
    """
    try:
        return _version(library, library.version(words))
    except NotFoundError:
        entry = _entry(library, words)
        if entry is None:
            raise
        if entry.kind == "reading":
            return _reading(library, entry)
        return _version(library, library.logbook.version_of(entry))


def _entry(library: Library, words: str) -> Entry | None:
    try:
        return library.logbook.entry(words)
    except NotFoundError:
        return None


def _version(library: Library, version: Version) -> ShowAnswer:
    entry = version.entry
    heads = library.logbook.heads(entry.kind, entry.subject)
    told = kept(version, forked=version.is_head and is_fork(heads))
    if entry.kind != "build":
        return ShowAnswer(entry.kind, entry.subject, told, version.is_head, thing(entry))
    standing = where(version, library.logbook.readings_of(entry.subject, versions=version.ids))
    stands = _stands(library, standing.build, standing.settings, standing.since)
    return ShowAnswer("build", entry.subject, told, version.is_head, standing.build, stands)


def _reading(library: Library, entry: Entry) -> ShowAnswer:
    versions = {each.entry.id: each for each in library.logbook.versions("build", entry.subject)}
    row = read(entry, versions, Pivots(library))
    _, stand = reading_of(entry)
    version = versions.get(stand.version)
    build = from_body(Build, version.entry.body) if version else None
    stands = _stands(library, build, stand.settings, row.noun.on)
    return ShowAnswer("reading", entry.subject, row.kept, newest=True, noun=row.noun, stands=stands)


def _stands(
    library: Library, build: Build | None, settings: Mapping[str, Setting], since: str
) -> Stands:
    """Settings in the order of their adjusters, with the scales to show them on."""
    scales = _scales(library, build) if build else {}
    ordered = {name: settings[name] for name in (*scales, *settings) if name in settings}
    return Stands(ordered, scales, since)


def _scales(library: Library, build: Build) -> Mapping[str, Adjuster]:
    """The adjusters of a build; without them, settings are shown in millimeters."""
    try:
        return adjusters_of(library, build)
    except NoAnswerError:
        return {}
