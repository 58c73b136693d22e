"""A log or a part of it into a bundle: there in full under its name, or not at all."""

from __future__ import annotations

import json
from pathlib import Path  # noqa: TC003 # the hints of a named tuple are read while it is made
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError
from riglog.logbook.entry import Envelope
from riglog.logbook.files import rising, translated
from riglog.logbook.fingerprint import fingerprint, parse
from riglog.logbook.rows import intact
from riglog.logbook.transfer import bundle, selection
from riglog.logbook.transfer.bundle import BrokenError, BundleReader, Manifest

if TYPE_CHECKING:
    from array import array
    from collections.abc import Iterator

    from riglog.logbook.connection import Database

SUFFIX = ".bundle"
_BLOCK = 1000
# CROSS JOIN keeps the order of the list.
_ROWS = "SELECT e.* FROM json_each(?) AS n CROSS JOIN entries AS e ON e.seq = n.value"


class Bundled(NamedTuple):
    """A bundle that was written: where, what it goes by, how much it holds, of which library."""

    path: Path
    name: str
    entries: int
    fingerprint: str


class Choice(NamedTuple):
    """What a bundle is to hold: all, or less.

    ``builds`` are those that are meant, with what they need. ``since`` is an earlier bundle, and
    ``since_day`` a day, whose entries and all before them are left out. ``notes_of`` is the one
    person whose notes go with it.
    """

    builds: tuple[str, ...] = ()
    since: Path | None = None
    since_day: str | None = None
    notes_of: str | None = None

    @property
    def whole(self) -> bool:
        """Whether nothing is left out but what was before."""
        return not self.builds and self.notes_of is None


class Former(NamedTuple):
    """An earlier bundle: its manifest, and the ids of its entries as bytes."""

    manifest: Manifest
    ids: frozenset[bytes]


def read_former(path: Path) -> Former:
    """What an earlier bundle holds.

    Raises
    ------
    CallError
        If it cannot be read, or is not what was written.
    """
    try:
        with path.open("rb") as stream:
            reader = BundleReader(stream, str(path))
            manifest = reader.manifest()
            ids = frozenset(bytes.fromhex(line.id) for line in reader.entries())
    except OSError as error:
        raise CallError(f"cannot read {str(path)!r}: {error.strerror}") from error
    except BrokenError as error:
        raise CallError(str(error.finding)) from error
    return Former(manifest, ids)


def place_of(database: Database, former: Former) -> int | None:
    """The place in this log that an earlier bundle reaches to; None where that is another's log."""
    if not former.manifest.whole:
        return None
    known = parse(former.manifest.fingerprint)
    return known.entries if fingerprint(database, known.entries) == known else None


def chosen(database: Database, choice: Choice) -> array[int]:
    """The entries that are meant, in the order of the log.

    Raises
    ------
    CallError
        If an earlier bundle cannot be read, or is not what was written.
    """
    place = selection.before_day(database, choice.since_day) if choice.since_day else 0
    found = selection.of_builds(database, choice.builds) if choice.builds else None
    known: frozenset[bytes] = frozenset()
    if choice.since:
        former = read_former(choice.since)
        reached = place_of(database, former)
        place, known = (place, former.ids) if reached is None else (reached, known)
    if found is None:
        found = selection.after(database, place)
    found = selection.besides(database, found, place, known)
    if choice.notes_of is not None:
        return selection.without_notes_of_others(database, found, choice.notes_of)
    return found


def write_bundle(database: Database, target: Path, choice: Choice) -> Bundled:
    """Write a log or a part of it to a file; into a folder under the name that its hash gives.

    Raises
    ------
    CallError
        If something else than a bundle stands in that place, or it cannot be written.
    BusyError
        If there is no room.
    LibraryError
        If an entry is damaged.
    """
    inside = target.is_dir()
    if not inside:
        _check_target(target)
    entries, now = chosen(database, choice), fingerprint(database)
    manifest = Manifest(len(entries), str(now), choice.whole, choice.builds)
    with rising(target, target if inside else target.parent) as file:
        name = bundle.write(file.stream, manifest, _envelopes(database, entries))
        if inside:
            file.path = target / f"{name}{SUFFIX}"
    return Bundled(file.path, name, len(entries), str(now))


def _check_target(target: Path) -> None:
    """Refuse to write over a library, or anything else that is no bundle."""
    try:
        harmless = not target.exists() or target.stat().st_size == 0 or bundle.is_bundle(target)
    except OSError as error:
        raise translated(error, target) from error
    if not harmless:
        hint = "name a new file, a bundle to be replaced, or a folder"
        raise CallError(f"{str(target)!r} is there, and no bundle", hint=hint)


def _envelopes(database: Database, chosen: array[int]) -> Iterator[Envelope]:
    for start in range(0, len(chosen), _BLOCK):
        for row in database.rows(_ROWS, (json.dumps(chosen[start : start + _BLOCK].tolist()),)):
            seq, entry_id, *columns = row
            yield intact(seq, entry_id, Envelope(*columns))
