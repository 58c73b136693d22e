"""Questions to the log. Each takes as long as its answer is, whatever the size of the log."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING

from riglog.errors import AmbiguousError, NotFoundError, listed, quoted
from riglog.logbook import ancestry, names
from riglog.logbook.effects import THINGS
from riglog.logbook.rows import entry_of
from riglog.logbook.using import Using
from riglog.logbook.versioned import Versioned

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from riglog.logbook.entry import Entry

NOUNS = THINGS
"""The kinds that are known by an id, all in one namespace."""

_SHORTEST_ID = 4

# Asks for the next id after the last one, so that many versions of few things cost nothing.
_SUBJECTS = """
WITH RECURSIVE each(subject) AS (
    SELECT min(subject) FROM versions WHERE kind = :kind
    UNION ALL
    SELECT (SELECT min(subject) FROM versions WHERE kind = :kind AND subject > each.subject)
    FROM each WHERE subject IS NOT NULL
)
SELECT subject FROM each WHERE subject IS NOT NULL"""
_OLDEST_FIRST = """
SELECT v.subject FROM json_each(?) AS name
JOIN versions AS v ON v.kind = ? AND v.subject = name.value
GROUP BY v.subject ORDER BY min(v.entry)"""
_LOG = "SELECT * FROM entries WHERE seq > ? ORDER BY seq"
_CHILDREN = """
SELECT e.* FROM entries AS p
JOIN edges AS x ON x.parent = p.seq
JOIN entries AS e ON e.seq = x.child
WHERE p.id = ? ORDER BY e.seq"""


class Reader(Using, Versioned):
    """Answers from one library file."""

    def entry(self, name: str) -> Entry:
        """The entry of an id, or of the only one that starts so.

        Raises
        ------
        NotFoundError
            If there is none, or fewer than four characters are given.
        AmbiguousError
            If several ids start so.
        """
        start = name.strip().casefold()
        rows = []
        if len(start) >= _SHORTEST_ID and re.fullmatch(r"[0-9a-f]+", start, re.ASCII):
            rows = self._database.rows(
                "SELECT * FROM entries WHERE id >= ? AND id < ? ORDER BY id LIMIT 9",
                (start, start + "g"),
            )
        if not rows:
            raise NotFoundError(
                f"there is no entry {quoted(name)}",
                hint=f"give its id, or at least the first {_SHORTEST_ID} characters of it",
            )
        if len(rows) > 1:
            several = listed([row[1][: len(start) + 4] for row in rows])
            raise AmbiguousError(f"several entries start with {quoted(name)}", hint=several)
        return entry_of(rows[0])

    def kind_of(self, subject: str) -> str | None:
        """Which of ``NOUNS`` an id is one of; None where nothing has it."""
        row = self._database.row(
            "SELECT kind FROM versions WHERE kind IN (?, ?, ?, ?) AND subject = ? LIMIT 1",
            (*NOUNS, subject),
        )
        return row[0] if row else None

    def subjects(self, kind: str) -> list[str]:
        """Ids of everything of a kind that the log speaks of, sorted."""
        return [row[0] for row in self._database.rows(_SUBJECTS, {"kind": kind})]

    def oldest_first(self, kind: str, subjects: Iterable[str]) -> list[str]:
        """These things of a kind in the order in which they were first recorded."""
        rows = self._database.rows(_OLDEST_FIRST, (json.dumps(sorted(subjects)), kind))
        return [row[0] for row in rows]

    def resolve(self, words: str, kind: str | None = None) -> str:
        """The id of a component, rig, build or scale that a person means by an id or a part of one.

        Raises
        ------
        AmbiguousError
            If the words are part of several ids and not one in full.
        NotFoundError
            If nothing is called so; the hint names what is near.
        CallError
            If there are no words.
        """
        kinds = NOUNS if kind is None else (kind,)
        if any(self._known(each, words) for each in kinds):
            return words
        known = sorted(subject for each in kinds for subject in self.subjects(each))
        return names.pick(words, known, kind or "record")

    def _known(self, kind: str, subject: str) -> bool:
        sql = "SELECT 1 FROM versions WHERE kind = ? AND subject = ? LIMIT 1"
        return self._database.row(sql, (kind, subject)) is not None

    def ancestors(self, entry_id: str) -> list[Entry]:
        """Everything that an entry came from, nearest first."""
        known = {entry_id: self.entry(entry_id)}

        def parents_of(child: str) -> tuple[str, ...]:
            for parent in known[child].parents:
                known.setdefault(parent, self.entry(parent))
            return known[child].parents

        return [known[found] for found in ancestry.ancestors(entry_id, parents_of)]

    def children(self, entry_id: str) -> list[Entry]:
        """Entries that supersede this one, in log order."""
        return self._entries(_CHILDREN, (entry_id,))

    def log(self, *, after: int = 0) -> Iterator[Entry]:
        """Every entry in log order, one by one, from beyond a ``seq``."""
        for row in self._database.each(_LOG, (after,)):
            yield entry_of(row)

    def fingerprint(self) -> str:
        """A short word for everything that the log holds."""
        from riglog.logbook.fingerprint import fingerprint

        return str(fingerprint(self._database))

    def chosen(self, author: str) -> str | None:
        """The build that an author means when none is named; it need not exist any more."""
        row = self._database.row("SELECT build FROM choices WHERE author = ?", (author,))
        return row[0] if row else None
