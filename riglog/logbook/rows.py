"""Rows of the log to entries, each checked as it is read."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import LibraryError
from riglog.logbook.entry import Entry, Envelope

if TYPE_CHECKING:
    from collections.abc import Sequence


def entry_of(row: Sequence[Any]) -> Entry:
    """The entry of a row, if it is what was recorded.

    SQLite's own check sees one flipped bit in twenty; what is read from here moves a camera.

    Raises
    ------
    LibraryError
        If it is not.
    """
    seq, entry_id, *columns = row
    try:
        envelope = Envelope(*columns)
        if envelope.id == entry_id:
            return Entry.of(seq, entry_id, envelope)
    except (TypeError, ValueError):
        pass  # no text, or no JSON: not what was recorded
    raise LibraryError(
        f"entry {seq} of the library is damaged",
        hint="riglog audit lists all damage and what to do; nothing was computed from it",
    )
