"""`import`: rows of a spreadsheet into the library, all of them or nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.interchange.mapping import read_mapping
from riglog.interchange.sheets import read_sheet, rows_of
from riglog.interchange.writer import written
from riglog.library.standing import moment
from riglog.records import Build, Component

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any

    from riglog.library import Library
    from riglog.library.recording import Recorded


class ImportedRow(NamedTuple):
    """A row by its number, what became of it, and the document that it is."""

    row: int
    became: Recorded
    says: dict[str, Any]


class ImportAnswer(NamedTuple):
    """What became of each row of a spreadsheet; in a dry run, what would become of it."""

    file: str
    dry_run: bool
    rows: Sequence[ImportedRow]


def import_sheet(
    library: Library, file: str, mapping: str, *, dry_run: bool = False
) -> ImportAnswer:
    """Check and record the rows of a spreadsheet.

    Raises
    ------
    DocumentError
        With everything that is wrong in mapping or rows.
    CallError
        If a file cannot be read.
    ForkError
        If a row changes a thing that has two heads.
    """
    document = read_sheet(file, read_mapping(mapping))
    recorded = library.take([document], dry_run=dry_run)
    # Readings are recorded as they were taken, things as they are listed.
    rows = list(rows_of(document))
    things = [each for each in rows if isinstance(each[1], Component | Build)]
    readings = [each for each in rows if not isinstance(each[1], Component | Build)]
    readings.sort(key=lambda each: moment(each[1].on))
    pairs = zip([*things, *readings], recorded, strict=True)
    shown = [
        ImportedRow(row, became, written(noun) if dry_run else {}) for (row, noun), became in pairs
    ]
    return ImportAnswer(file, dry_run, sorted(shown, key=lambda each: each.row))
