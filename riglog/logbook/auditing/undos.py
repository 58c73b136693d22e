"""What entries are about, and which were undone, as an audit works it out from the entries."""

from __future__ import annotations

import json
from collections import defaultdict
from typing import TYPE_CHECKING

from riglog.logbook import derive
from riglog.logbook.effects import passes, stays, undone_by

if TYPE_CHECKING:
    from riglog.logbook.connection import Database
    from riglog.logbook.entry import Entry

UNDO_TABLES = (
    (
        "CREATE TABLE abouts (target TEXT, kind TEXT, counts INTEGER, entry INTEGER,"
        " PRIMARY KEY (target, kind, counts, entry)) WITHOUT ROWID"
    ),
    # Entries that were undone: those that are left out, and those that pass nothing on.
    "CREATE TABLE undone (seq INTEGER PRIMARY KEY, left_out INTEGER, idle INTEGER)",
)
_UNDONE = """
SELECT e.seq, e.kind, e.parents FROM json_each(?) AS n CROSS JOIN entries AS e ON e.id = n.value"""
_BELOW = """
SELECT parent, child FROM parents WHERE parent IN (SELECT value FROM json_each(?))"""
_COUNTS_NOT = "UPDATE abouts SET counts = 0 WHERE entry IN (SELECT seq FROM undone)"
_IN_DOUBT = """
SELECT e.id, a.target FROM doubtful AS d
CROSS JOIN about AS a ON a.entry = d.seq AND a.kind = 'undo'
CROSS JOIN entries AS e ON e.seq = d.seq"""


class Undos:
    """Fills the tables above, beside a table ``parents`` and a library that is attached later."""

    def __init__(self, scratch: Database) -> None:
        self._scratch = scratch
        self._targets: dict[str, tuple[str, ...]] = {}

    def expect(self, entry: Entry) -> None:
        """Note what an entry is about."""
        targets = derive.targets(entry.kind, entry.body)
        if entry.kind == "undo":
            self._targets[entry.id] = targets
        rows = [(target, entry.kind, entry.seq) for target in targets]
        self._scratch.run_many("INSERT INTO abouts VALUES (?, ?, 1, ?)", rows)

    def weigh(self) -> None:
        """Note which entries are undone, and what that does to those above them."""
        undone = undone_by({**self._targets, **self._in_doubt()})
        rows = self._scratch.rows(_UNDONE, (json.dumps(sorted(undone)),))
        below = self._below({row[0] for row in rows})
        marks = [
            (seq, not stays(kind, parents), not passes(seq, lambda each: below[each]))
            for seq, kind, parents in rows
        ]
        with self._scratch.writing():
            self._scratch.run_many("INSERT INTO undone VALUES (?, ?, ?)", marks)
            self._scratch.run(_COUNTS_NOT)

    def _below(self, undone: set[int]) -> dict[int, list[tuple[int, int]]]:
        """What came from entries that were undone, each with whether it was undone too."""
        found = defaultdict(list)
        for parent, child in self._scratch.rows(_BELOW, (json.dumps(sorted(undone)),)):
            found[parent].append((child, int(child in undone)))
        return found

    def _in_doubt(self) -> dict[str, tuple[str, ...]]:
        """What undos reverse that may not be what was recorded, as the library's table has it."""
        found: dict[str, tuple[str, ...]] = {}
        for undo, target in self._scratch.rows(_IN_DOUBT):
            found[undo] = (*found.get(undo, ()), target)
        return found
