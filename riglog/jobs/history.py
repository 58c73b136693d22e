"""`history`: how a thing came about, version by version, with all that was read and said of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import NotFoundError
from riglog.jobs.described import Describer
from riglog.jobs.listing import Kept, Pivots, Read, kept, read
from riglog.jobs.version_answers import Described, Fate
from riglog.library.forks import is_fork
from riglog.library.reversing import item_name
from riglog.library.standing import moment
from riglog.library.targets import entry_named
from riglog.logbook import NOUNS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from riglog.library import Library
    from riglog.logbook import Entry, Reader, Version

_SAID = ("note", "tag", "name", "undo")
_OF_THINGS = (*_SAID, "measurement")
_ALL = 2**63 - 1


class Change(NamedTuple):
    """A version: the names of those it came from, and the fields in which it differs.

    A first version differs in nothing. ``undoes`` names the versions that it reverses, ``why`` is
    what was said of that. ``fate`` says that it was undone itself. ``came`` and ``gone`` are parts
    that a build has more or less than the one version it came from.
    """

    kept: Kept
    newest: bool
    after: tuple[str, ...]
    changed: tuple[str, ...]
    undoes: tuple[str, ...] = ()
    why: str = ""
    fate: Fate | None = None
    came: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()


Event = Change | Read | Described


class HistoryAnswer(NamedTuple):
    """Newest first: each version below the readings that were taken of it.

    What was said of a version or a reading stands above it. ``fates`` tells, by the entry, what
    became of readings and remarks that count no longer. ``more`` says that there are older ones.
    """

    kind: str
    id: str
    events: Sequence[Event]
    fates: Mapping[str, Fate] = {}  # nobody changes an answer
    more: bool = False


def history(library: Library, words: str | None = None, limit: int | None = None) -> HistoryAnswer:
    """Who recorded what of a thing and when; or what became of one reading or remark.

    Parameters
    ----------
    words
        The thing, or the start of an entry's id; the build in use if left out.
    limit
        So many of the newest events; all if left out.

    Raises
    ------
    CallError, NotFoundError, AmbiguousError
        If the words do not name one thing or entry, or no build is in use where there are none.
    """
    log, words = library.logbook, words or library.in_use()
    try:
        thing = library.resolve(None, words)
    except NotFoundError as error:
        entry = entry_named(library, words, error)
        if entry.kind not in NOUNS:
            return _of_entry(library, entry)
        thing = entry.subject
    kind, most = log.kind_of(thing) or "", limit or _ALL
    asked = most + 1 if limit else most
    versions = _versions(log, kind, thing, asked)
    readings = log.newest("reading", thing, limit=asked) if kind == "build" else []
    said = [each for kind in _OF_THINGS for each in log.newest(kind, thing, limit=asked)]
    events = list(_Events(library, versions, readings, said))
    fates = _fates(library, [*readings, *said])
    return HistoryAnswer(kind, thing, events[::-1][:most], fates, len(events) > most)


def _versions(log: Reader, kind: str, thing: str, limit: int) -> list[Version]:
    """The newest versions, in log order."""
    if limit == _ALL:
        return log.versions(kind, thing)
    return [log.version_of(each) for each in reversed(log.newest(kind, thing, limit=limit))]


def _of_entry(library: Library, entry: Entry) -> HistoryAnswer:
    """Everything that one entry was before and became after, and what was said of that."""
    log = library.logbook
    chain = {each.id: each for each in [*log.ancestors(entry.id), entry, *_after(log, entry)]}
    said = [each for name in chain for kind in _SAID for each in log.about(name, kind)]
    entries = sorted([*chain.values(), *said], key=lambda each: each.seq)
    readings = [each for each in entries if each.kind == "reading"]
    others = [each for each in entries if each.kind not in {*NOUNS, "reading"}]
    events = list(_Events(library, [], readings, others))
    kind = f"{entry.kind} of {entry.subject}"
    return HistoryAnswer(kind, entry.id[:8], events[::-1], _fates(library, [*readings, *others]))


def _after(log: Reader, entry: Entry) -> Iterator[Entry]:
    waiting, seen = [entry], {entry.id}
    while waiting:
        for child in log.children(waiting.pop().id):
            if child.id not in seen:
                seen.add(child.id)
                waiting.append(child)
                yield child


def _fates(library: Library, entries: Iterable[Entry]) -> dict[str, Fate]:
    describer = Describer(library)
    found = ((each.id, describer.fate(each)) for each in entries)
    return {entry_id: fate for entry_id, fate in found if fate is not None}


class _Events:
    """Parents before children, and what was read and said of each after it."""

    def __init__(
        self,
        library: Library,
        versions: Sequence[Version],
        readings: Iterable[Entry],
        said: Iterable[Entry],
    ) -> None:
        self._log = library.logbook
        self._describer = Describer(library)
        self._pivots = Pivots(library)
        self._versions = versions
        self._known = {each.entry.id: each for each in versions}
        self._readings: dict[str, list[Entry]] = {}
        for each in sorted(readings, key=lambda each: (moment(each.body["on"]), each.seq)):
            self._readings.setdefault(each.body["stand"]["version"], []).append(each)
        self._about: dict[str, list[Entry]] = {}
        self._loose: list[Entry] = []
        there = {*self._known, *(each.id for group in self._readings.values() for each in group)}
        for each in sorted(said, key=lambda each: each.seq):
            self._place(each, there)

    def _place(self, each: Entry, there: set[str]) -> None:
        """What is about something of this history stands beside it."""
        if each.kind == "undo" and any(c.kind in NOUNS for c in self._log.children(each.id)):
            return  # the version that it made tells it
        named = each.body.get("entry") or next(iter(each.body.get("reverses", ())), "")
        if named in there:
            self._about.setdefault(named, []).append(each)
            there.add(each.id)
        else:
            self._loose.append(each)

    def __iter__(self) -> Iterator[Event]:
        for name, group in self._readings.items():
            for entry in group if name not in self._known else ():
                yield from self._read(entry)
        forked = is_fork([each.entry for each in self._versions if each.is_head])
        for version, end in zip(self._versions, self._ends(), strict=True):
            yield self._change(version, forked=forked and version.is_head)
            for entry in self._readings.get(version.entry.id, ()):
                yield from self._read(entry)
            yield from self._remarks(self._about.get(version.entry.id, ()))
            yield from self._remarks(self._taken(end))
        yield from self._remarks(self._taken(_ALL))

    def _ends(self) -> list[int]:
        """Up to where in the log what is said of a thing as such stands beside each version."""
        return [each.entry.seq for each in self._versions[1:]] + [_ALL] * bool(self._versions)

    def _taken(self, end: int) -> list[Entry]:
        found = [each for each in self._loose if each.seq < end]
        self._loose = self._loose[len(found) :]
        return found

    def _remarks(self, entries: Iterable[Entry]) -> Iterator[Event]:
        waiting = list(entries)[::-1]
        while waiting:
            entry = waiting.pop()
            yield self._describer.described(entry)
            waiting.extend(self._about.get(entry.id, [])[::-1])

    def _read(self, entry: Entry) -> Iterator[Event]:
        name = entry.body["stand"]["version"]
        if name not in self._known:
            row = self._describer.described(entry).read
            assert row is not None
            yield row
        else:
            yield read(entry, self._known, self._pivots)
        yield from self._remarks(self._about.get(entry.id, ()))

    def _change(self, version: Version, *, forked: bool) -> Change:
        parents = [self._log.entry(parent) for parent in version.entry.parents]
        before = [each for each in parents if each.kind in NOUNS]
        undos = [each for each in parents if each.kind == "undo"]
        return Change(
            kept(version, forked=forked),
            version.is_head,
            tuple(self._name(each) for each in before),
            _changed(version.entry, before),
            tuple(self._undone(undo) for undo in undos),
            next((undo.body["note"] for undo in undos if "note" in undo.body), ""),
            self._fate(version),
            *_exchanged(version.entry, before),
        )

    def _fate(self, version: Version) -> Fate | None:
        """Why a version that nothing takes the place of counts no longer."""
        return self._describer.fate(version.entry) if not _replaced(self._log, version) else None

    def _name(self, entry: Entry) -> str:
        known = self._known.get(entry.id)
        return known.name if known else self._log.version_of(entry).name

    def _undone(self, undo: Entry) -> str:
        return self._name(self._log.entry(undo.body["reverses"][0]))


def _replaced(log: Reader, version: Version) -> bool:
    return any(child.kind in NOUNS for child in log.children(version.entry.id))


def _changed(entry: Entry, parents: Sequence[Entry]) -> tuple[str, ...]:
    """Fields that differ from any parent, sorted."""
    keys = {*entry.body, *(key for parent in parents for key in parent.body)}
    return tuple(
        key
        for key in sorted(keys)
        if any(entry.body.get(key) != parent.body.get(key) for parent in parents)
    )


def _exchanged(entry: Entry, parents: Sequence[Entry]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Parts that came and went since the version before, where it is one."""
    if len(parents) != 1:
        return (), ()
    new, old = (
        dict.fromkeys(map(item_name, each.body.get("parts", ()))) for each in (entry, parents[0])
    )
    return tuple(part for part in new if part not in old), tuple(
        part for part in old if part not in new
    )
