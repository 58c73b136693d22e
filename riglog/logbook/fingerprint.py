"""A short word for everything that a log holds, to be written on paper and compared years later.

``1234-3ab12f04c0de5678``: the number of entries, and the start of a hash over the ids of all heads,
in their order. Every id covers its entry and the ids of its parents, so the heads cover the log,
and the same entries have the same fingerprint in whatever order they came. An older fingerprint is
that of the first so many entries, and so still tells whether those are there, as they were.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

    from riglog.logbook.connection import Database

_SHOWN = 16
_FORM = rf"(?P<entries>\d{{1,12}})-(?P<heads>[0-9a-f]{{{_SHOWN}}})"
_ENTRIES = "SELECT max(seq) FROM entries"
_HEADS = """
SELECT id FROM entries AS e
WHERE seq <= :last AND NOT EXISTS (SELECT 1 FROM edges WHERE parent = e.seq AND child <= :last)
ORDER BY id"""


class Fingerprint(NamedTuple):
    """How many entries, and the start of the hash of their heads."""

    entries: int
    heads: str

    @classmethod
    def of(cls, entries: int, digest: str) -> Fingerprint:
        """The fingerprint of so many entries, from the whole hash over the ids of their heads."""
        return cls(entries, digest[:_SHOWN])

    def __str__(self) -> str:
        return f"{self.entries}-{self.heads}"


def parse(text: str) -> Fingerprint:
    """A fingerprint as somebody typed it from paper.

    Raises
    ------
    CallError
        If it is none.

    Examples
    --------
    >>> parse(" 1234-3AB12F04C0DE5678 ").entries
    1234
    """
    found = re.fullmatch(_FORM, text.strip().casefold(), re.ASCII)
    if found is None:
        hint = f"write it as printed: the number of entries, a hyphen, {_SHOWN} characters"
        raise CallError(f"{quoted(text)} is no fingerprint", hint=hint)
    return Fingerprint(int(found["entries"]), found["heads"])


def of_heads(entries: int, ids: Iterable[str]) -> Fingerprint:
    """The fingerprint of so many entries whose heads have these ids, which come sorted."""
    from hashlib import sha256

    found = sha256()
    for each in ids:
        found.update(each.encode())
    return Fingerprint.of(entries, found.hexdigest())


def fingerprint(database: Database, entries: int | None = None) -> Fingerprint:
    """The fingerprint of a log, or of its first so many entries."""
    if entries is None:
        row = database.row(_ENTRIES)
        entries = (row[0] if row else None) or 0
    heads = database.each(_HEADS, {"last": entries})
    return of_heads(entries, (row[0] for row in heads))
