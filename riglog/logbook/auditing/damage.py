"""What an audit finds, and what to do about it."""

from __future__ import annotations

from typing import NamedTuple

REBUILD = "riglog rebuild makes it anew from the entries"
MEND = "riglog rebuild restores what riglog made, and removes triggers of others"
RESTORE = (
    "riglog merge --rescue takes what is sound into a new library, best beside a backup or a bundle"
)
REST_WORKS = "what needs it is refused, all else works"
ENTRIES_WORK = "no entry is touched by it, answers may miss some"


class Damage(NamedTuple):
    """One thing that is not as it was recorded.

    ``where`` is an entry, a table or the file; ``entry`` the id of the entry as it stands in the
    file, where it is one and can be read.
    """

    where: str
    what: str
    works: str
    mend: str
    entry: str = ""

    def __str__(self) -> str:
        return f"{self.where}: {self.what}; {self.works}; {self.mend}"


def of_entry(seq: int, what: str, row: tuple[object, ...] | None = None) -> Damage:
    """Damage of one entry, called by what can still be read of it."""
    if row is None:
        return Damage(f"entry {seq}", what, REST_WORKS, RESTORE)
    entry_id, kind, subject = (repr(str(column))[1:-1][:64] for column in row[1:4])
    where = f"entry {seq} ({entry_id[:8]}, {kind} {subject})"
    return Damage(where, what, REST_WORKS, RESTORE, entry_id)


def of_table(table: str, what: str) -> Damage:
    """Damage of a table that follows from the entries."""
    return Damage(f"table {table}", what, ENTRIES_WORK, REBUILD)
