"""Rows of the log to entries, each checked as it is read."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import LibraryError
from riglog.logbook.entry import Entry, Envelope

if TYPE_CHECKING:
    from collections.abc import Sequence


def entry_of(row: Sequence[Any]) -> Entry:
    """The entry of a row, if it is what was recorded.

    Raises
    ------
    LibraryError
        If it is not.
    """
    seq, entry_id, *columns = row
    envelope = intact(seq, entry_id, Envelope(*columns))
    try:
        return Entry.of(seq, entry_id, envelope)
    except (TypeError, ValueError) as error:  # no JSON, for all that its id fits
        raise damaged(seq) from error


def intact(seq: int, entry_id: str, envelope: Envelope) -> Envelope:
    """The columns of an entry, if they are what was recorded.

    SQLite's own check sees one flipped bit in twenty; what is read from here moves a camera.

    Raises
    ------
    LibraryError
        If the id does not fit.
    """
    try:
        if envelope.id == entry_id:
            return envelope
    except (TypeError, ValueError):
        pass  # no text
    raise damaged(seq)


def damaged(seq: int) -> LibraryError:
    """What to raise where an entry is not what was recorded."""
    return LibraryError(
        f"entry {seq} of the library is damaged",
        hint="riglog audit lists all damage and what to do; nothing was computed from it",
    )
