"""`who`: who set a field, when, by which scale or source, and what came before."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from riglog.errors import CallError, listed, nearest, quoted
from riglog.jobs.described import Describer
from riglog.jobs.version_answers import Field, Said, WhoAnswer
from riglog.library.fields import as_documents
from riglog.library.forks import differ, newest
from riglog.library.reversing import field_name
from riglog.library.standing import moment, reading_of
from riglog.library.targets import target
from riglog.logbook import NOUNS
from riglog.records import Build

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from riglog.jobs.version_answers import Described
    from riglog.library import Library
    from riglog.library.reversing import Path
    from riglog.logbook import Entry, Reader

# What tells how a field was found, by the field.
_SOURCES = {"mass": "by", "times": "method"}
# Which field a measurement tells, by its kind.
_MEASURED = {"weighing": "mass", "center": "cg", "inertia": "inertia"}
_SILENT = {"id", "build", "kind"}
# What people call a field that documents call otherwise.
_CALLED = {
    "weight": ("mass",), "scale": ("by",), "center": ("cg",), "balance": ("cg",),
    "length": ("size",), "dimensions": ("size",), "mark": ("settings.pivot",),
    "drop": ("wanted_drop",), "load": ("rated_load",),
}  # fmt: skip


def who(library: Library, words: str, field: str | None = None) -> WhoAnswer:
    """Who set what of a thing, or of a reading.

    Parameters
    ----------
    words
        ``ID``, ``ID@VERSION`` or the start of a reading's id.
    field
        A field as documents call it, such as ``mass`` or ``settings.pivot``, or its last part.

    Raises
    ------
    CallError
        If there is no such field, or the words name neither a thing nor a reading.
    NotFoundError, AmbiguousError, ForkError
        If the words do not name one thing.
    """
    meant = target(library, words)
    if meant.kind not in {*NOUNS, "reading"}:
        hint = f"riglog show {words} tells who said so"
        raise CallError(f"{quoted(words)} is a {meant.kind}, which has no fields", hint=hint)
    heads = [meant.entry] if meant.entry else library.logbook.heads(meant.kind, meant.subject)
    heads = heads if differ(heads) else [newest(heads)]
    found = list(_fields(library, heads, as_documents))
    if meant.kind == "component" and "mass" not in _names(found):
        found.append(_unsaid(heads[0], "mass"))
    chosen = found if field is None else _chosen(found, field)
    if field is not None and not chosen:
        # What an adjuster, a mount or a part says is one field, until one asks for more.
        chosen = _chosen(list(_fields(library, heads, _in_depth)), field)
    if field is not None and not chosen:
        raise CallError(f"{meant.subject} has no field {quoted(field)}", hint=_mend(found, field))
    name = meant.entry.id[:8] if meant.kind == "reading" and meant.entry else meant.subject
    return WhoAnswer(meant.kind, name, chosen, _measured(library, meant.subject, chosen))


def _fields(
    library: Library, heads: Sequence[Entry], read: Callable[[Entry], Mapping[Path, Any]]
) -> Iterator[Field]:
    asker = _Asker(library.logbook, read)
    for head in heads:
        yield from asker.fields(head, forked=len(heads) > 1)


def _in_depth(entry: Entry) -> dict[Path, Any]:
    """The fields of an entry, and what each item of a list or table says by itself."""
    found: dict[Path, Any] = {}
    for path, value in as_documents(entry).items():
        if isinstance(value, dict):
            found.update({(*path, key): each for key, each in value.items()})
        else:
            found[path] = value
    return found


def _unsaid(head: Entry, name: str) -> Field:
    """A field that nobody wrote down, and somebody may have measured."""
    return Field(name, Said(None, head.id, "", "", head.at), None)


def _measured(library: Library, thing: str, fields: Sequence[Field]) -> tuple[Described, ...]:
    """Measurements of these fields: a weighing is no field, and yet tells a mass."""
    wanted = {_by_its_start(each.name) for each in fields}
    entries = library.logbook.heads("measurement", thing)[::-1]
    told = (each for each in entries if _MEASURED.get(each.body["kind"]) in wanted)
    return Describer(library).all(told)


def _chosen(found: Sequence[Field], field: str) -> list[Field]:
    """Fields that a word means: exactly, or by its last or first part; none if it means none."""
    word = _hyphened(field.strip())
    for means in (_exactly, _by_its_end, _by_its_start):
        if chosen := [each for each in found if _hyphened(means(each.name)) == word]:
            return chosen
    return []


def _mend(found: Sequence[Field], field: str) -> str:
    """The field that was meant, by its meaning or its letters; else all that there are."""
    word, names = _hyphened(field.strip()), _names(found)
    near = next((each for each in _CALLED.get(word, ()) if each in names), "")
    near = near or nearest(word, dict.fromkeys([*names, *map(_by_its_end, names)]))
    return f"did you mean {near}?" if near else f"it has {listed(_starts(found), 'and')}"


def _names(found: Sequence[Field]) -> list[str]:
    return [each.name for each in found]


def _starts(found: Sequence[Field]) -> list[str]:
    return list(dict.fromkeys(map(_by_its_start, _names(found))))


def _hyphened(name: str) -> str:
    """A name as it is compared: nobody remembers which names have hyphens."""
    return name.replace("_", "-")


def _exactly(name: str) -> str:
    return name


def _by_its_end(name: str) -> str:
    return name.rpartition(".")[2]


def _by_its_start(name: str) -> str:
    return name.partition(".")[0]


class _Asker:
    """Looks along the parents for whoever said a thing first."""

    def __init__(self, log: Reader, read: Callable[[Entry], Mapping[Path, Any]]) -> None:
        self._log = log
        self._flat = cache(lambda entry_id: read(log.entry(entry_id)))

    def fields(self, head: Entry, *, forked: bool) -> Iterator[Field]:
        """Every field of a version, and those that it says no more."""
        name = self._name(head) if forked else ""
        paths = dict.fromkeys(self._flat(head.id))
        for parent in self._before(head):
            paths.update(dict.fromkeys(self._flat(parent.id)))
        moved = self._settings(head) if head.kind == "build" else {}
        paths.update(dict.fromkeys(moved))
        for path in paths:
            if path[0] in _SILENT and len(path) == 1:
                continue
            now, before = moved.get(path) or self._said(head, path)
            yield Field(field_name(path), now, before, name)

    def _said(self, head: Entry, path: Path) -> tuple[Said, Said | None]:
        """Who said it as it is, and what the version before said."""
        entry, value = head, self._flat(head.id).get(path)
        while alike := [e for e in self._before(entry) if self._flat(e.id).get(path) == value]:
            entry = newest(alike)
        others = self._before(entry)
        before = None
        if others:
            former = newest(others)
            if path in self._flat(former.id):
                before = self._said(former, path)[0]
        return self._told(entry, path, value), before

    def _told(self, entry: Entry, path: Path, value: Any) -> Said:
        source = self._flat(entry.id).get((_SOURCES.get(path[0], ""),), "")
        return Said(value, entry.id, self._name(entry), entry.author, entry.at, source)

    def _name(self, entry: Entry) -> str:
        return self._log.version_of(entry).name if entry.kind in NOUNS else ""

    def _before(self, entry: Entry) -> list[Entry]:
        """What an entry came from, of its own kind."""
        return [each for each in map(self._log.entry, entry.parents) if each.kind == entry.kind]

    def _settings(self, head: Entry) -> dict[Path, tuple[Said, Said | None]]:
        """Settings that a reading of the version told, each with what was there before."""
        from riglog.interchange.writer import written

        version = self._log.version_of(head)
        entries = self._log.readings_of(head.subject, versions=version.ids)
        entries.sort(key=lambda each: (moment(each.body["on"]), each.seq))
        found: dict[Path, tuple[Said, Said | None]] = {}
        there = dict(self._flat(head.id))
        for entry in entries:
            stand = Build(id="x", rig="x", settings=reading_of(entry)[1].settings)
            for name, value in written(stand).get("settings", {}).items():
                path = ("settings", name)
                if there.get(path) != value:
                    before = found[path][0] if path in found else self._former(head, path)
                    said = Said(value, entry.id, "", entry.author, entry.body["on"], "reading")
                    found[path] = (said, before)
                    there[path] = value
        return found

    def _former(self, head: Entry, path: Path) -> Said | None:
        return self._said(head, path)[0] if path in self._flat(head.id) else None
