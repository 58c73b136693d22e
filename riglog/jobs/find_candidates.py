"""Logged versions of builds that fit a search, before anything is made of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.library.standing import moment
from riglog.logbook import derive
from riglog.logbook.folded import folded, has
from riglog.logbook.search import Sought
from riglog.records import from_body
from riglog.records.build import Build

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from riglog.jobs.find_question import Question
    from riglog.library import Library
    from riglog.logbook import Entry

# So many entries are made of each question to the log; more are of no use on one page.
AMONG = 100
_SPOKEN = ("reading", "build")


class Candidate(NamedTuple):
    """A version of a build, and the readings of it that fit, newest by when they were taken."""

    entry: Entry
    build: Build
    readings: tuple[Entry, ...]

    @property
    def when(self) -> float:
        """When it was last so [s]."""
        if self.readings:
            return moment(self.readings[0].body["on"])
        return moment(self.entry.at)

    @property
    def parts(self) -> set[str]:
        """Its components, and its rig."""
        return {self.build.rig, *(part.component for part in self.build.parts)}


class _Stand(NamedTuple):
    """The version of a build, and a reading of it unless the version itself was found.

    ``said`` and ``tags`` are what was found beside it, such as a note on a lens that it uses.
    """

    version: str
    reading: Entry | None
    said: str = ""
    tags: tuple[str, ...] = ()


def candidates(library: Library, question: Question, like: Iterable[str]) -> list[Candidate]:
    """Versions that fit, each once, in no order.

    Parameters
    ----------
    like
        Things that the wanted build uses: one that uses all of them is found however old it is,
        unless words say which are meant.
    """
    readings: dict[str, list[Entry]] = {}
    versions: dict[str, tuple[Entry, Build] | None] = {}
    for stand in _all_stands(library, question, tuple(like)):
        if stand.version not in versions:
            versions[stand.version] = _version(library, stand.version, question)
        if (known := versions[stand.version]) and _fits(stand, known, question):
            readings.setdefault(stand.version, []).extend(filter(None, [stand.reading]))
    fits = ((versions[version], read) for version, read in readings.items())
    return [Candidate(*known, newest(read)) for known, read in fits if known]


def _all_stands(library: Library, question: Question, like: tuple[str, ...]) -> Iterable[_Stand]:
    """Whatever the log finds, each once."""
    stands: dict[tuple[str, str], _Stand] = {}
    for sought in _questions(question, like):
        for entry in library.logbook.found(sought, AMONG):
            for stand in _stands(library, entry):
                key = (stand.version, stand.reading.id if stand.reading else "")
                stands[key] = _both(stands.get(key), stand)
    return stands.values()


def _questions(question: Question, like: tuple[str, ...]) -> Iterator[Sought]:
    """Along the words, along the things, along the days; none of them asks for all at once."""
    days = question.days
    if words := (*question.rest, *question.tags):
        kinds = (*_SPOKEN, "component", "rig", "note", "tag", "name")
        yield Sought(kinds, words=words, days=days)
        if len(words) > 1:  # one may stand in the build, another in what was read of it
            yield Sought(kinds, words=words, days=days, any_word=True)
    if question.things:
        yield Sought(_SPOKEN, things=question.things, days=days)
    if question.builds:
        yield Sought(_SPOKEN, words=question.builds, days=days)
    if like and not words:
        yield Sought(_SPOKEN, things=tuple(dict.fromkeys([*question.things, *like])), days=days)
    if not (words or question.things or question.builds):
        yield Sought(_SPOKEN, days=days)


def _both(before: _Stand | None, stand: _Stand) -> _Stand:
    if before is None:
        return stand
    return stand._replace(said=f"{before.said}\n{stand.said}", tags=before.tags + stand.tags)


def _stands(library: Library, entry: Entry) -> Iterator[_Stand]:
    """The versions of builds that an entry is about."""
    if entry.kind == "reading":
        yield _Stand(entry.body["stand"]["version"], entry)
    elif entry.kind == "build":
        yield _Stand(entry.id, None)
    else:
        said = derive.text(entry.subject, entry.author, entry.body)
        tags = (entry.body["tag"],) if entry.kind == "tag" else ()
        for each in _about(library, entry):
            if each.kind in _SPOKEN:
                yield from (s._replace(said=said, tags=tags) for s in _stands(library, each))


def _about(library: Library, entry: Entry) -> Iterator[Entry]:
    """What a remark is about, or what uses a component or rig."""
    log = library.logbook
    if targets := derive.targets(entry.kind, entry.body):
        yield from map(log.entry, targets)
    elif log.kind_of(entry.subject) == "build":
        yield from log.heads("build", entry.subject)
    else:
        yield from log.found(Sought(_SPOKEN, things=(entry.subject,)), AMONG // 5)


def _version(library: Library, entry_id: str, question: Question) -> tuple[Entry, Build] | None:
    """A version of a build, if it has what has to be on it."""
    entry = library.logbook.entry(entry_id)
    build = from_body(Build, entry.body)
    uses = {build.rig, *(part.component for part in build.parts)}
    if not uses.issuperset(question.things):
        return None
    if question.builds and build.id not in question.builds:
        return None
    if library.logbook.undone(entry_id):
        return None
    return entry, build


def _fits(stand: _Stand, version: tuple[Entry, Build], question: Question) -> bool:
    entry, _ = version
    told = [entry] if stand.reading is None else [entry, stand.reading]
    if question.days and day_of(told[-1]) not in question.days:
        return False
    tags = {folded(tag) for each in told for tag in (*each.body.get("tags", ()), *stand.tags)}
    if not tags.issuperset(folded(tag) for tag in question.tags):
        return False
    return not question.rest or _says(stand, told, question.rest)


def _says(stand: _Stand, told: Iterable[Entry], words: Iterable[str]) -> bool:
    """Whether every word occurs in what was found, or begins a word there."""
    texts = [derive.text(each.subject, each.author, each.body) for each in told]
    said = folded("\n".join([stand.said, *texts]))
    return all(has(said, word) for word in words)


def day_of(entry: Entry) -> str:
    """The day that an entry is of."""
    return derive.day(entry.kind, entry.at, entry.body)


def newest(readings: Sequence[Entry]) -> tuple[Entry, ...]:
    """Readings by when they were taken, newest first; drops before others, as they tell most."""
    return tuple(
        sorted(
            readings,
            key=lambda each: (each.body["kind"] == "drop", moment(each.body["on"]), each.seq),
            reverse=True,
        )
    )
