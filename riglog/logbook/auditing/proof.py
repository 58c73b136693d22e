"""Whether everything in a library is as it was recorded: a proof, or none.

One pass over the entries computes every id anew, in SQL up to the hash, and notes in a few bytes
each what must follow from them; one pass over each derived table compares. Sums over pseudo-random
figures, drawn anew each time, stand for sets too large to be kept: equal sums of different sets are
a matter of one in billions. What fails is not told here: the walk along the log finds it.
"""

from __future__ import annotations

import json
from array import array
from collections import defaultdict
from hashlib import sha256
from secrets import randbelow
from typing import TYPE_CHECKING, Any

from riglog.errors import LibraryError
from riglog.logbook import derive
from riglog.logbook.auditing import likeness
from riglog.logbook.effects import stays, undone_by
from riglog.logbook.fingerprint import Fingerprint

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from riglog.logbook.connection import Database

# The canonical envelope, assembled as ``Envelope.text`` does.
ENTRIES = """
SELECT seq, id, kind,
    printf('{"at":"%s","author":%s,"body":%s,"kind":"%s","parents":%s,"subject":%s}',
        at, json_quote(author), body, kind, parents, json_quote(subject)),
    CASE WHEN parents <> '[]' THEN parents END,
    CASE WHEN kind IN ('build', 'note', 'tag', 'name', 'undo') THEN body END
FROM entries ORDER BY seq"""
_SEQ = "SELECT seq FROM entries WHERE id = ?"
_BY_ID = "SELECT id, seq FROM entries ORDER BY id"
_EDGES = "SELECT parent, child FROM edges"
_VERSIONS = "SELECT entry, number, superseded FROM versions"
_UNDONE = "SELECT seq, kind, parents FROM entries WHERE id = ?"
_ABOUT = "SELECT target, kind, counts, entry FROM about"
# Small enough that the sum of ten million squares is a number to SQLite.
_PRIME = 524_287
_DAYS = """
SELECT day, count(*), sum(entry),
    sum(((entry * :a + :b) % 524287) * ((entry * :a + :b) % 524287))
FROM days GROUP BY day"""
_WIDE = 2**61 - 1
_DAY = slice(7, 17)  # of an envelope: the day in its time
_ID = 32

Sums = list[int]


def proof(database: Database) -> Fingerprint | None:
    """The fingerprint of a log if everything in its library is as it was recorded; else None.

    Parameters
    ----------
    database
        Within a snapshot.
    """
    told = _Proof(database)
    with likeness.beginning(database.path, told.figures) as likened:
        try:
            holds = told.holds()
        # A damaged page can hold anything in place of a number or a text.
        except (LibraryError, TypeError, ValueError, IndexError, OverflowError):
            holds = False
        found = likened()
    if holds and found.holds and found.named == told.entries and found.uses == told.uses():
        return told.fingerprint
    return None


class _Proof:
    """What must follow from the entries of a library, and whether it does.

    Attributes
    ----------
    figures : dict
        By which sums over entries are made.
    entries : int
        How many there are.
    fingerprint : Fingerprint
        Of the log, once it is known to hold.
    """

    def __init__(self, database: Database) -> None:
        self._database = database
        self._a, self._b, self._c = (1 + randbelow(_PRIME - 1) for _ in range(3))
        self.figures = {"a": self._a, "b": self._b}
        self.entries = 0
        self.fingerprint = Fingerprint(0, "")
        self._ids = bytearray()
        self._numbers = array("q", [0])
        self._edges: list[tuple[int, int]] = []
        self._days: dict[str, Sums] = defaultdict(lambda: [0, 0, 0])
        self._place: dict[str, int] = {}
        self._shares: list[Sums] = []
        self._things: dict[int, tuple[str, ...]] = {}
        self._about: dict[int, tuple[str, tuple[str, ...]]] = {}

    def holds(self) -> bool:
        """Whether all that is asked here is as it was recorded.

        Raises
        ------
        LibraryError
            If something cannot be read.
        """
        checks: tuple[Callable[[], bool], ...] = (
            self._entries_hold, self._edges_hold, self._ids_hold, self._versions_hold,
            self._days_hold, self._about_holds, self._versions_used_are_here,
        )  # fmt: skip
        return all(check() for check in checks)

    def _entries_hold(self) -> bool:
        """One pass over all entries. It is long, because a million calls would take a second."""
        a, b, ids, numbers = self._a, self._b, self._ids, self._numbers
        share, version_before = [0, 0, 0], ""
        days, day_before = share, ""
        expected = 0
        for seq, entry_id, kind, envelope, parents, body in self._database.each(ENTRIES):
            digest = sha256(envelope.encode()).digest()
            expected += 1
            if digest.hex() != entry_id or seq != expected:
                return False
            ids += digest
            version, day = "", envelope[_DAY]
            if kind == "reading":
                version, day = _of_reading(envelope)
            # Entries of one day, and readings of one version, mostly come one after another.
            figure = (seq * a + b) % _PRIME
            square = figure * figure
            if day != day_before:
                days, day_before = self._days[day], day
            days[0] += 1
            days[1] += seq
            days[2] += square
            if version:
                if version != version_before:
                    share, version_before = self._share(version), version
                share[0] += 1
                share[1] += seq
                share[2] += square
            if body:
                self._note(seq, entry_id, kind, json.loads(body), square)
            if parents:
                numbers.append(self._number(seq, json.loads(parents)))
                if not numbers[-1]:
                    return False
            else:
                numbers.append(1)
        self.entries = expected
        return True

    def _share(self, version: str) -> Sums:
        """The sums over the entries that use what a version of a build does."""
        place = self._place.setdefault(version, len(self._shares))
        if place == len(self._shares):
            self._shares.append([0, 0, 0])
        return self._shares[place]

    def _note(self, seq: int, entry_id: str, kind: str, body: Any, square: int) -> None:
        """What a build uses, and what a note, a tag, a name or an undo is about."""
        if kind != "build":
            self._about[seq] = kind, derive.targets(kind, body)
        elif things := derive.own_uses(kind, body):
            _add(self._share(entry_id), seq, square)
            self._things[self._place[entry_id]] = tuple(things)

    def _number(self, seq: int, parents: list[str]) -> int:
        """The number of an entry below its parents; 0 where one does not stand before it."""
        numbers: list[int] = []
        for parent in parents:
            row = self._database.row(_SEQ, (parent,))
            if row is None or row[0] >= seq:
                return 0
            self._edges.append((row[0], seq))
            numbers.append(self._numbers[row[0]])
        return 1 + max(numbers)

    def _ids_hold(self) -> bool:
        """Whether the index of ids has them all, each at its place; the fingerprint on the way."""
        last, count, ids = "", 0, self._ids
        heads, passed = sha256(), {parent for parent, _ in self._edges}
        for entry_id, seq in self._database.each(_BY_ID):
            if entry_id <= last or ids[(seq - 1) * _ID : seq * _ID].hex() != entry_id:
                return False
            if seq not in passed:
                heads.update(entry_id.encode())
            last, count = entry_id, count + 1
        self.fingerprint = Fingerprint.of(count, heads.hexdigest())
        return count == self.entries

    def _edges_hold(self) -> bool:
        expected = (self._mark(parent, child) for parent, child in self._edges)
        found = (self._mark(*row) for row in self._database.each(_EDGES))
        return _total(expected) == _total(found)

    def _mark(self, parent: int, child: int) -> int:
        return pow(parent * self._a + child * self._b + self._c, 3, _WIDE)

    def _versions_hold(self) -> bool:
        superseded = self._superseded()
        seen = bytearray(self.entries + 1)
        for seq, number, passed in self._database.each(_VERSIONS):
            if not 0 < seq <= self.entries or seen[seq]:
                return False
            if passed != superseded[seq] or number != self._numbers[seq]:
                return False
            seen[seq] = 1
        return sum(seen) == self.entries

    def _superseded(self) -> bytearray:
        """For each entry, whether anything that came from it counts, or it is undone."""
        undone = self._undone()
        passed = bytearray(self.entries + 1)
        # A child stands behind its parent: whether it passes on what counts is known by then.
        for parent, child in sorted(self._edges, reverse=True):
            if child not in undone or passed[child]:
                passed[parent] = 1
        for seq, leaves in undone.items():
            passed[seq] |= leaves
        return passed

    def _undone(self) -> dict[int, bool]:
        """Every entry that was undone, and whether it is left out by that."""
        undos = {
            self._id(seq): targets for seq, (kind, targets) in self._about.items() if kind == "undo"
        }
        found = {}
        for entry_id in undone_by(undos):
            if row := self._database.row(_UNDONE, (entry_id,)):
                seq, kind, parents = row
                found[seq] = not stays(kind, parents)
        return found

    def _id(self, seq: int) -> str:
        return self._ids[(seq - 1) * _ID : seq * _ID].hex()

    def uses(self) -> dict[str, Sums]:
        """The sums over what is used, as the table must have them."""
        expected: dict[str, Sums] = defaultdict(lambda: [0, 0, 0])
        for place, things in self._things.items():
            for thing in things:
                sums = expected[thing]
                for which, figure in enumerate(self._shares[place]):
                    sums[which] += figure
        return expected

    def _versions_used_are_here(self) -> bool:
        others = (name for name, place in self._place.items() if place not in self._things)
        return all(self._database.row(_SEQ, (name,)) for name in others)

    def _days_hold(self) -> bool:
        rows = self._database.each(_DAYS, self.figures)
        return {day: sums for day, *sums in rows} == self._days

    def _about_holds(self) -> bool:
        undone = self._undone()
        expected = {
            (target, kind, int(seq not in undone), seq)
            for seq, (kind, targets) in self._about.items()
            for target in targets
        }
        rows = self._database.rows(_ABOUT)
        return len(rows) == len(expected) and set(rows) == expected


def _of_reading(envelope: str) -> tuple[str, str]:
    """The version that a reading names, or "", and the day that it is of.

    They are taken from where they stand in one of ours; if it is none, the tables will not fit.
    """
    version = envelope.find('"version":"') + 11
    day = envelope.find('"on":"') + 6
    return (
        envelope[version : version + 64] if version > 10 else "",
        envelope[day : day + 10] if day > 5 else envelope[_DAY],
    )


def _add(sums: Sums, seq: int, square: int) -> None:
    sums[0] += 1
    sums[1] += seq
    sums[2] += square


def _total(marks: Iterator[int]) -> tuple[int, int]:
    count = total = 0
    for mark in marks:
        count += 1
        total += mark
    return count, total
