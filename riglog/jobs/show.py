"""`show`: what one thing says, as a kit document, and how it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import NoAnswerError, NotFoundError
from riglog.jobs.described import Describer
from riglog.jobs.listing import Kept, Pivots, kept, read, thing
from riglog.library.adjusters import adjusters_of
from riglog.library.forks import is_fork, weighed_apart
from riglog.library.standing import Meant, reading_of
from riglog.library.targets import entry_named
from riglog.logbook import NOUNS
from riglog.records import Adjuster, Build, Component, Rig, Setting, from_body

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from riglog.jobs.version_answers import Described, Fate
    from riglog.library import Library
    from riglog.logbook import Entry, Version
    from riglog.records import Reading
    from riglog.records.build import Head
    from riglog.records.weighing_scale import WeighingScale

_SAID = ("note", "tag", "name")


class Stands(NamedTuple):
    """Where every adjuster of a build stands, on its scale, and what told that and when.

    ``head`` is what its powered head does, None where nobody said.
    """

    settings: Mapping[str, Setting]
    adjusters: Mapping[str, Adjuster]
    since: str
    head: Head | None = None


class ShowAnswer(NamedTuple):
    """One version of a thing, or a reading; ``stands`` where a rig stands or stood.

    ``said`` are the notes, tags and names of it and of the thing; ``fate`` says why it counts no
    longer. ``apart`` are newest versions of a component that others weighed apart from this one.
    """

    kind: str
    id: str
    kept: Kept
    newest: bool
    noun: Component | Rig | Build | WeighingScale | Reading
    stands: Stands | None = None
    said: Sequence[Described] = ()
    fate: Fate | None = None
    apart: Sequence[tuple[Kept, Component]] = ()


class SaidAnswer(NamedTuple):
    """A note, a tag, a name or an undo, and what became of it."""

    said: Described
    fate: Fate | None


def show(library: Library, words: str | None = None) -> ShowAnswer | SaidAnswer:
    """What ``ID``, ``ID@VERSION`` or the start of an entry's id names; else the build in use.

    Raises
    ------
    CallError, NotFoundError, AmbiguousError
        If the words do not name one thing, or no build is in use where there are none.
    ForkError
        If it has two heads and no version is named.
    """
    words = words or library.in_use()
    try:
        return _version(library, library.meant(words))
    except NotFoundError as error:
        entry = entry_named(library, words, error)
    if entry.kind == "reading":
        return _reading(library, entry)
    if entry.kind in NOUNS:
        return _version(library, Meant(library.logbook.version_of(entry)))
    describer = Describer(library)
    return SaidAnswer(describer.described(entry), describer.fate(entry))


def _version(library: Library, meant: Meant) -> ShowAnswer:
    version, entry = meant.version, meant.version.entry
    heads = library.logbook.heads(entry.kind, entry.subject)
    told = kept(version, forked=version.is_head and is_fork(heads))
    answer = ShowAnswer(
        entry.kind, entry.subject, told, version.is_head,
        from_body(Build, entry.body) if entry.kind == "build" else thing(entry),
        said=_said(library, entry),
        fate=_undone(library, version),
        apart=_apart(library, version, heads),
    )  # fmt: skip
    if entry.kind != "build":
        return answer
    standing = library.stands(meant)
    stands = _stands(library, standing.build, standing.settings, standing.since)
    return answer._replace(stands=stands._replace(head=standing.head))


def _apart(
    library: Library, version: Version, heads: Sequence[Entry]
) -> tuple[tuple[Kept, Component], ...]:
    """What others weighed of a component apart from a newest version of it."""
    if not (version.is_head and weighed_apart(heads)):
        return ()
    others = [head for head in heads if head.body != version.entry.body]
    versions = [library.logbook.version_of(each) for each in sorted(others, key=_by_id)]
    return tuple((kept(each, forked=False), _component(each)) for each in versions)


def _by_id(entry: Entry) -> str:
    return entry.id


def _component(version: Version) -> Component:
    return from_body(Component, version.entry.body)


def _undone(library: Library, version: Version) -> Fate | None:
    """Why a version that nothing takes the place of counts no longer."""
    children = library.logbook.children(version.entry.id)
    if any(child.kind in NOUNS for child in children):
        return None
    return Describer(library).fate(version.entry)


def _said(library: Library, entry: Entry) -> tuple[Described, ...]:
    """Notes, tags and names of an entry, and of a thing as such."""
    log = library.logbook
    found = [each for kind in _SAID for each in log.about(entry.id, kind)]
    if entry.kind in NOUNS:
        heads = (each for kind in _SAID for each in log.heads(kind, entry.subject))
        found += [each for each in heads if "entry" not in each.body]
    return Describer(library).all(sorted(found, key=lambda each: each.seq))


def _reading(library: Library, entry: Entry) -> ShowAnswer:
    versions = {each.entry.id: each for each in library.logbook.versions("build", entry.subject)}
    row = read(entry, versions, Pivots(library))
    _, stand = reading_of(entry)
    version = versions.get(stand.version)
    build = from_body(Build, version.entry.body) if version else None
    stands = _stands(library, build, stand.settings, row.noun.on)._replace(head=stand.head)
    fate = Describer(library).fate(entry)
    return ShowAnswer(
        "reading", entry.subject, row.kept, fate is None, row.noun, stands,
        _said(library, entry), fate,
    )  # fmt: skip


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
