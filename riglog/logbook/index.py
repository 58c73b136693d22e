"""The derived tables: what makes one entry findable, filed in the transaction that appends it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from riglog.errors import NotFoundError
from riglog.logbook import derive
from riglog.logbook.effects import Effects

if TYPE_CHECKING:
    from riglog.logbook.connection import Database
    from riglog.logbook.entry import Body, Entry

_TEXTS = 1000
_PARENT = """
SELECT e.seq, v.number
FROM entries AS e
JOIN versions AS v
    ON v.kind = e.kind AND v.subject = e.subject AND v.superseded IN (0, 1) AND v.entry = e.seq
WHERE e.id = ?"""
_VERSION = """
INSERT INTO versions (kind, subject, superseded, entry, number) VALUES (?, ?, 0, ?, ?)"""

_DAY = "INSERT INTO days (day, entry) VALUES (?, ?)"
_USE = "INSERT INTO uses (component, entry) VALUES (?, ?)"


class Index:
    """Files entries, parents before children. One lives as long as one batch."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._effects = Effects(database)
        self._uses: dict[str, frozenset[str]] = {}
        self._texts: list[tuple[int, str]] = []

    def file(self, entry: Entry) -> None:
        """Make an entry findable; by its words after ``finish``.

        Raises
        ------
        NotFoundError
            If a parent is not filed already.
        """
        self._effects.file(entry, self._place(entry))
        self._database.run_many(
            _USE,
            [(thing, entry.seq) for thing in sorted(self._uses_of(entry.kind, entry.body))],
        )
        self._database.run(_DAY, (derive.day(entry.kind, entry.at, entry.body), entry.seq))
        self._texts.append((entry.seq, derive.text(entry.subject, entry.author, entry.body)))
        if len(self._texts) == _TEXTS:
            self.finish()

    def finish(self) -> None:
        """File the words of what was filed.

        Other writes in between make the full text put what it has on the disk each time.
        """
        self._database.run_many("INSERT INTO words (rowid, text) VALUES (?, ?)", self._texts)
        self._texts.clear()

    def _place(self, entry: Entry) -> list[int]:
        """Number the entry below its parents; those."""
        found = [self._parent(parent, entry) for parent in entry.parents]
        edges = [(seq, entry.seq) for seq, _ in found]
        self._database.run_many("INSERT INTO edges (parent, child) VALUES (?, ?)", edges)
        number = 1 + max((number for _, number in found), default=0)
        self._database.run(_VERSION, (entry.kind, entry.subject, entry.seq, number))
        return [seq for seq, _ in found]

    def _parent(self, parent: str, entry: Entry) -> tuple[Any, ...]:
        if row := self._database.row(_PARENT, (parent,)):
            return row
        raise without_parent(entry.subject, parent)

    def _uses_of(self, kind: str, body: Body) -> frozenset[str]:
        version = derive.version_used(kind, body)
        own = frozenset(derive.own_uses(kind, body))
        return own if version is None else own | self._uses_of_version(version)

    def _uses_of_version(self, version: str) -> frozenset[str]:
        if version not in self._uses:
            row = self._database.row("SELECT kind, body FROM entries WHERE id = ?", (version,))
            if row is None:
                return frozenset()  # not here, or not yet; the audit says so
            self._uses[version] = self._own(*row)
        return self._uses[version]

    def _own(self, kind: str, body: str) -> frozenset[str]:
        return frozenset(derive.own_uses(kind, json.loads(body)))


def without_parent(subject: str, parent: str) -> NotFoundError:
    """What to raise where an entry on a thing supersedes one that is not here."""
    return NotFoundError(
        f"an entry on {subject} supersedes {parent[:8]}, which is not here",
        hint="take in the library or the bundle that it comes from in full",
    )
