"""`export`: what there is, of one kind, for a spreadsheet; or everything, to be taken in again."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, mend_word, quoted
from riglog.jobs.listing import list_

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.listing import Row
    from riglog.library import Library

TABLES = ("components", "builds", "readings")
WHOLE = "library"


class ExportAnswer(NamedTuple):
    """All of a kind, as ``list`` has it: component, build or reading."""

    kind: str
    rows: Sequence[Row]


def export(library: Library, words: str) -> ExportAnswer:
    """Components, builds or readings.

    Raises
    ------
    CallError
        If the words are none of these.
    """
    kind = words.casefold()
    if kind not in TABLES:
        message = f"{quoted(words)} is nothing to export"
        raise CallError(message, hint=mend_word(kind, (*TABLES, WHOLE)))
    found = list_(library, kind)
    return ExportAnswer(found.kind, found.rows)
