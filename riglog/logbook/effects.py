"""Which entries count: undone by others, or superseded by one that was not undone itself.

An entry is undone while an undo of it counts; an undo counts while it is not undone. An entry is
superseded while anything that came from it counts. Both follow from the entries alone, in
whatever order they came, so two people who undo, restore and correct apart from each other find
the same after a merge. The first version of a thing, such as a lens added by mistake, stays even
when it is undone: entries may refer to it.

``Effects`` keeps the tables as entries come, one by one. ``undone_by`` works the same out a second
time from all undos at once, in Python and without those tables, on purpose: it is what an audit
holds them against, and a check that asked the same queries would repeat their faults.
"""

from __future__ import annotations

from graphlib import TopologicalSorter
from typing import TYPE_CHECKING

from riglog.logbook import derive

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from riglog.logbook.connection import Database
    from riglog.logbook.entry import Entry

THINGS = ("component", "rig", "build", "scale")

_ABOUT = "INSERT OR IGNORE INTO about (target, kind, counts, entry) VALUES (?, ?, ?, ?)"
_UNDONE = "SELECT 1 FROM about WHERE target = ? AND kind = 'undo' AND counts = 1 LIMIT 1"
_FILED = """
SELECT e.seq, e.kind, e.body FROM entries AS e
CROSS JOIN versions AS v
    ON v.kind = e.kind AND v.subject = e.subject AND v.superseded IN (0, 1) AND v.entry = e.seq
WHERE e.id = ?"""
_MARKED = """
SELECT e.id, e.kind, e.subject, e.parents, v.superseded FROM entries AS e
CROSS JOIN versions AS v
    ON v.kind = e.kind AND v.subject = e.subject AND v.superseded IN (0, 1) AND v.entry = e.seq
WHERE e.seq = ?"""
_TOLD = "SELECT counts FROM about WHERE target = ? AND kind = 'undo' AND entry = ?"
_COUNTS = "UPDATE about SET counts = ? WHERE target = ? AND kind = ? AND entry = ?"
_PARENTS = """
SELECT p.seq FROM entries AS e CROSS JOIN json_each(e.parents) AS n
CROSS JOIN entries AS p ON p.id = n.value
WHERE e.seq = ?"""
_CHILDREN = """
SELECT x.child, EXISTS (
    SELECT 1 FROM about WHERE target = e.id AND kind = 'undo' AND counts = 1
)
FROM edges AS x CROSS JOIN entries AS e ON e.seq = x.child WHERE x.parent = ?"""
_SUPERSEDED = """
UPDATE versions SET superseded = ?
WHERE kind = ? AND subject = ? AND superseded = ? AND entry = ?"""


class Effects:
    """Keeps, around each entry that is filed, which entries count."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def file(self, entry: Entry, parents: Iterable[int]) -> None:
        """Note what an entry does to others; itself and its edges are filed already."""
        undone = self.undone(entry.id)
        targets = derive.targets(entry.kind, entry.body)
        rows = [(target, entry.kind, int(not undone), entry.seq) for target in targets]
        self._database.run_many(_ABOUT, rows)
        if undone:
            self._weigh(entry.seq)
        self._above(parents)
        if entry.kind == "undo" and not undone:
            self._reversed(targets)

    def undone(self, entry_id: str) -> bool:
        """Whether an undo of the entry counts."""
        return self._database.row(_UNDONE, (entry_id,)) is not None

    def _reversed(self, targets: Iterable[str]) -> None:
        """These were undone, or are no longer: so is what they undid, the other way round."""
        waiting = list(targets)
        while waiting:
            entry_id = waiting.pop()
            row = self._database.row(_FILED, (entry_id,))
            if row is None:
                continue  # it asks by itself when it comes
            seq, kind, body = row
            own = derive.targets_of_text(kind, body)
            counts = int(not self.undone(entry_id))
            if kind == "undo" and not self._turns(seq, own, counts):
                continue  # as before, or not told yet: then it asks by itself when it is
            self._database.run_many(_COUNTS, [(counts, target, kind, seq) for target in own])
            self._weigh(seq)
            self._above(self._parents(seq))
            if kind == "undo":
                waiting.extend(own)

    def _turns(self, undo: int, targets: Iterable[str], counts: int) -> bool:
        """Whether an undo that was told of counts now and did not, or the other way round."""
        found = (self._database.row(_TOLD, (target, undo)) for target in targets)
        return any(row is not None and row[0] != counts for row in found)

    def _above(self, parents: Iterable[int]) -> None:
        """Something that came from these counts, or no longer does."""
        waiting = list(parents)
        while waiting:
            seq = waiting.pop()
            if self._weigh(seq):
                waiting.extend(self._parents(seq))

    def _weigh(self, seq: int) -> bool:
        """Find anew whether an entry is superseded; whether those above it have to be asked too."""
        found = self._database.row(_MARKED, (seq,))
        assert found is not None, seq
        entry_id, kind, subject, parents, before = found
        undone = self.undone(entry_id)
        now = int(self._passed(seq) or (undone and not stays(kind, parents)))
        if now != before:
            self._database.run(_SUPERSEDED, (now, kind, subject, before, seq))
        # An undone entry passes on what its children do, and its own mark may stay the same.
        return now != before or undone

    def _passed(self, seq: int) -> bool:
        """Whether anything that came from an entry counts."""
        return passes(seq, lambda each: self._database.rows(_CHILDREN, (each,)))

    def _parents(self, seq: int) -> list[int]:
        return [row[0] for row in self._database.rows(_PARENTS, (seq,))]


def stays(kind: str, parents: str) -> bool:
    """Whether an entry with these columns stays when it is undone."""
    return kind in THINGS and parents == "[]"


def passes(seq: int, children: Callable[[int], Iterable[tuple[int, int]]]) -> bool:
    """Whether anything that came from an entry counts.

    Parameters
    ----------
    children
        Answers with the entries that supersede one, each with whether it was undone.
    """
    waiting, seen = [seq], {seq}
    while waiting:
        for child, undone in children(waiting.pop()):
            if not undone:
                return True
            if child not in seen:
                seen.add(child)
                waiting.append(child)
    return False


def undos_first(undos: Mapping[str, Iterable[str]]) -> list[str]:
    """Undos, each before those that it reverses: so each is told of once, and never turned again.

    Parameters
    ----------
    undos
        For the id of every undo, the ids of what it reverses.
    """
    against: dict[str, list[str]] = {undo: [] for undo in undos}
    for undo, targets in undos.items():
        for target in targets:
            if target in against:
                against[target].append(undo)
    return list(TopologicalSorter(against).static_order())


def undone_by(undos: Mapping[str, tuple[str, ...]]) -> set[str]:
    """Ids of the entries that are undone.

    Parameters
    ----------
    undos
        For the id of every undo, the ids of what it reverses.
    """
    against = dict.fromkeys(undos, 0)
    for targets in undos.values():
        for target in targets:
            if target in against:
                against[target] += 1
    found: set[str] = set()
    ready = [undo for undo, count in against.items() if count == 0]
    while ready:
        undo = ready.pop()
        for target in undos[undo]:
            if undo not in found:
                found.add(target)
            if target in against:
                against[target] -= 1
                if against[target] == 0:
                    ready.append(target)
    return found
