"""`list`: what there is, of one kind."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, mend_word, quoted
from riglog.library.adjusters import engraved
from riglog.library.forks import differ, is_fork, newest
from riglog.library.standing import moment, reading_of, where
from riglog.records import Adjuster, Build, Component, Drop, Rig, Setting, from_body

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from riglog.library import Library
    from riglog.logbook import Entry, Version
    from riglog.records import Reading
    from riglog.records.weighing_scale import WeighingScale

KINDS = {
    "component": "components",
    "rig": "rigs",
    "build": "builds",
    "reading": "readings",
    "scale": "scales",
}
SAID = {"name": "names", "tag": "tags", "note": "notes"}
_UNKNOWN_PIVOT = Adjuster(id="pivot", axis="z")


class Kept(NamedTuple):
    """A newest version: what people call it, its entry, and by whom and when it was recorded.

    ``forked`` says that there is another one, and nobody settled which counts.
    """

    version: str
    entry: str
    author: str
    at: str
    forked: bool


class Thing(NamedTuple):
    """A component, a rig or a scale."""

    kept: Kept
    noun: Component | Rig | WeighingScale


class Built(NamedTuple):
    """A build: the mark that it stands at, and the last drop test of that version."""

    kept: Kept
    noun: Build
    pivot: Adjuster
    mark: Setting | None
    drop: Drop | None
    dropped_by: str


class Read(NamedTuple):
    """A reading, with the mark that the rig stood at, and the version of the build."""

    kept: Kept
    noun: Reading
    pivot: Adjuster
    mark: Setting | None


Row = Thing | Built | Read


class ListAnswer(NamedTuple):
    """All of a kind: things by their ids, readings newest first.

    ``unit`` is what the rigs that components may go on are engraved in.
    """

    kind: str
    rows: Sequence[Row]
    unit: str = "mm"


def said_kind(words: str) -> str | None:
    """The kind of remark that words name, where they name one."""
    return next((kind for kind, many in SAID.items() if words.casefold() in {kind, many}), None)


def list_(library: Library, words: str) -> ListAnswer:
    """All components, rigs, builds, readings or scales.

    Raises
    ------
    CallError
        If the words are no kind.
    """
    kind = next((kind for kind, many in KINDS.items() if words.casefold() in {kind, many}), None)
    if kind is None:
        known = [*KINDS.values(), *SAID.values()]
        raise CallError(f"{quoted(words)} is no kind", hint=mend_word(words, known))
    unit = engraved(library) if kind == "component" else "mm"
    return ListAnswer(kind, list(_rows(library, kind)), unit)


def _rows(library: Library, kind: str) -> Iterable[Row]:
    if kind == "build":
        return _builds(library)
    return _readings(library) if kind == "reading" else _things(library, kind)


def _heads(library: Library, kind: str) -> Iterator[tuple[Version, Kept]]:
    log = library.logbook
    for subject in log.subjects(kind):
        # A thing that was added by mistake and undone stays only where others refer to it.
        heads = [head for head in log.heads(kind, subject) if not log.undone(head.id)]
        forked = is_fork(heads)
        for head in heads if differ(heads) else heads and [newest(heads)]:
            version = log.version_of(head)
            yield version, kept(version, forked=forked)


def kept(version: Version, *, forked: bool) -> Kept:
    """What is told of a version beside its content."""
    entry = version.entry
    return Kept(version.name, entry.id, entry.author, entry.at, forked)


def _things(library: Library, kind: str) -> Iterator[Thing]:
    for version, told in _heads(library, kind):
        yield Thing(told, thing(version.entry))


def thing(entry: Entry) -> Component | Rig | WeighingScale:
    """The component, rig or scale that an entry holds."""
    if entry.kind == "rig":
        return from_body(Rig, entry.body)
    if entry.kind == "scale":
        from riglog.records.weighing_scale import WeighingScale

        return from_body(WeighingScale, entry.body)
    return from_body(Component, entry.body)


def _builds(library: Library) -> Iterator[Built]:
    pivots = Pivots(library)
    for version, told in _heads(library, "build"):
        readings = library.logbook.readings_of(version.entry.subject)
        stands = where(version, readings)
        drop, by = _last_drop(version, readings)
        pivot, mark = pivots.of(stands.build.rig), stands.settings.get("pivot")
        yield Built(told, stands.build, pivot, mark, drop, by)


def _last_drop(version: Version, readings: Sequence[Entry]) -> tuple[Drop | None, str]:
    own = (each for each in readings if each.body["stand"]["version"] in version.ids)
    drops = [each for each in own if each.body["kind"] == "drop"]
    if not drops:
        return None, ""
    last = max(drops, key=lambda each: (moment(each.body["on"]), each.seq))
    drop = reading_of(last)[0]
    assert isinstance(drop, Drop)
    return drop, last.author


def _readings(library: Library) -> list[Read]:
    log, pivots = library.logbook, Pivots(library)
    found: list[tuple[float, int, Read]] = []
    for build in log.subjects("build"):
        versions = {each.entry.id: each for each in log.versions("build", build)}
        for entry in log.readings_of(build):
            row = read(entry, versions, pivots)
            found.append((moment(row.noun.on), entry.seq, row))
    return [row for *_, row in sorted(found, key=lambda each: each[:2], reverse=True)]


def read(entry: Entry, versions: Mapping[str, Version], pivots: Pivots) -> Read:
    """A reading with what is told of it; ``versions`` are those of its build."""
    noun, stand = reading_of(entry)
    version = versions.get(stand.version)  # one that is not here is the audit's matter
    told = Kept(version.name if version else "?", entry.id, entry.author, entry.at, forked=False)
    pivot = pivots.of(version.entry.body["rig"]) if version else _UNKNOWN_PIVOT
    return Read(told, noun, pivot, stand.settings.get("pivot"))


class Pivots:
    """The pivot of each rig, for the scale that its marks are read on."""

    def __init__(self, library: Library) -> None:
        self._log = library.logbook
        self._found: dict[str, Adjuster] = {}

    def of(self, rig: str) -> Adjuster:
        """The pivot of a rig's newest version."""
        if rig not in self._found:
            heads = self._log.heads("rig", rig)
            adjusters = from_body(Rig, newest(heads).body).adjusters if heads else ()
            named = (each for each in adjusters if each.id == "pivot")
            self._found[rig] = next(named, _UNKNOWN_PIVOT)
        return self._found[rig]
