"""What was said of entries: notes, tags, names, and undos."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.logbook.rows import entry_of

if TYPE_CHECKING:
    from riglog.logbook.connection import Database, Values
    from riglog.logbook.entry import Entry

# A limit, and a place in the log, that nothing reaches.
LAST = 2**63 - 1

_ABOUT = """
SELECT e.* FROM about AS a CROSS JOIN entries AS e ON e.seq = a.entry
WHERE a.target = ? AND a.kind = ? AND a.counts = 1 AND EXISTS (
    SELECT 1 FROM versions AS v
    WHERE v.kind = e.kind AND v.subject = e.subject AND v.superseded IN (0, ?) AND v.entry = e.seq
)
ORDER BY a.entry"""
_COUNTS = """
SELECT 1 FROM versions WHERE kind = ? AND subject = ? AND superseded = 0 AND entry = ?"""
# One half after the other, each by its own stretch of the key.
_NEWEST = """
SELECT * FROM (
    SELECT e.* FROM versions AS v CROSS JOIN entries AS e ON e.seq = v.entry
    WHERE v.kind = :kind AND v.subject = :subject AND v.superseded = 0 AND v.entry < :before
    ORDER BY v.entry DESC LIMIT :limit
)
UNION ALL
SELECT * FROM (
    SELECT e.* FROM versions AS v CROSS JOIN entries AS e ON e.seq = v.entry
    WHERE v.kind = :kind AND v.subject = :subject AND v.superseded = 1 AND v.entry < :before
    ORDER BY v.entry DESC LIMIT :limit
)
ORDER BY seq DESC LIMIT :limit"""


class Said:
    """Answers about what was said of entries."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def about(self, entry_id: str, kind: str) -> list[Entry]:
        """Notes, tags or names of an entry that count, or undos of it, in log order."""
        spent = int(kind == "undo")  # one that made a new version is superseded by it
        return self._entries(_ABOUT, (entry_id, kind, spent))

    def undone(self, entry_id: str) -> bool:
        """Whether an undo of an entry counts."""
        sql = "SELECT 1 FROM about WHERE target = ? AND kind = 'undo' AND counts = 1 LIMIT 1"
        return self._database.row(sql, (entry_id,)) is not None

    def counts(self, entry: Entry) -> bool:
        """Whether nothing supersedes an entry, nor undoes it."""
        values = (entry.kind, entry.subject, entry.seq)
        return self._database.row(_COUNTS, values) is not None

    def newest(
        self, kind: str, subject: str, *, limit: int = LAST, before: int = LAST
    ) -> list[Entry]:
        """Everything of a kind on a subject, be it superseded or not, newest in the log first."""
        values = {"kind": kind, "subject": subject, "limit": limit, "before": before}
        return self._entries(_NEWEST, values)

    def recent(self, limit: int) -> list[Entry]:
        """The last entries of the log, newest first."""
        sql = "SELECT * FROM entries ORDER BY seq DESC LIMIT ?"
        return self._entries(sql, (limit,))

    def _entries(self, sql: str, values: Values) -> list[Entry]:
        return [entry_of(row) for row in self._database.rows(sql, values)]
