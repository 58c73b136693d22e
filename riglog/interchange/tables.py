"""Tables of text as spreadsheets and phones write them: CSV with any of the usual marks.

Nothing is guessed that could be two things. A figure such as ``1,234`` may be a decimal fraction
or a thousand and more: unless other figures of the table, or the caller, say which, it is refused.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from typing import TYPE_CHECKING, Literal, NamedTuple

from riglog.errors import DocumentError, Finding, quoted
from riglog.interchange.source import UnreadableError, plain_text, read_bytes

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

LARGEST = 64 * 1024 * 1024
MOST_COLUMNS = 200
LONGEST_CELL = 20_000
DELIMITERS = (";", "\t", ",", "|")
DecimalMark = Literal[".", ","]

_LOOKED_AT = 20
_MARKED = re.compile(r"(?<![0-9.,])[0-9]+(?:[.,][0-9]+)+(?![0-9.,])")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}([.,])[0-9]{3}")


class Row(NamedTuple):
    """A row by its number, the first one being 1, and its cells."""

    number: int
    cells: list[str]


class Table(NamedTuple):
    """A table: the names of its columns, and the rows below them.

    ``findings`` is what is wrong with rows that are not among them.
    """

    file: str
    columns: list[str]
    rows: list[Row]
    delimiter: str
    findings: tuple[Finding, ...] = ()


def read_table(path: str, delimiter: str | None = None) -> Table:
    """The table in a file.

    Raises
    ------
    CallError
        If the file cannot be read.
    DocumentError
        If it is no table at all.
    """
    return table_of(read_bytes(path, LARGEST), path, delimiter)


def table_of(data: bytes | str, file: str, delimiter: str | None = None) -> Table:
    """The table in a text.

    Parameters
    ----------
    data
        Bytes are UTF-8, with or without a byte-order mark.
    file
        Its name, for the findings.
    delimiter
        What stands between cells; by default what the first rows have most steadily.

    Raises
    ------
    DocumentError
        If it is no table at all.
    """
    try:
        text = plain_text(data, file, LARGEST, "give a table in CSV")
    except UnreadableError as error:
        raise refused([error.finding]) from error
    mark = delimiter or _delimiter(text, file)
    rows, findings = [], []
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
        for number, cells in enumerate(reader, start=1):
            if any(map(str.strip, cells)):
                rows.append(Row(number, cells))
    except csv.Error as error:
        number = rows[-1].number + 1 if rows else 1
        findings.append(Finding(file, number, f"this is not CSV: {error}", "close every quote"))
    if not rows:
        findings.append(Finding(file, 0, "the table is empty", "begin it with names of columns"))
        raise refused(findings)
    findings.extend(_names_at_odds(rows[0], file))
    if findings:
        raise refused(findings)
    names = [name.strip() for name in rows[0].cells]
    shapes = [(row, _misshapen(row, len(names), file)) for row in rows[1:]]
    sound = [row for row, finding in shapes if finding is None]
    return Table(file, names, sound, mark, tuple(each for _, each in shapes if each))


def refused(findings: Iterable[Finding]) -> DocumentError:
    """The error that carries findings of a table."""
    found = tuple(sorted(set(findings)))
    count = "1 mistake" if len(found) == 1 else f"{len(found)} mistakes"
    return DocumentError(f"{count} in the table: nothing was recorded", findings=found)


def _delimiter(text: str, file: str) -> str:
    """What cuts the first rows into most cells, alike in each."""
    lines = [line for line in text.splitlines()[: 2 * _LOOKED_AT] if line.strip()][:_LOOKED_AT]
    if not lines:
        raise refused([Finding(file, 0, "the table is empty", "begin it with names of columns")])
    counts = {mark: [_outside_quotes(line, mark) for line in lines] for mark in DELIMITERS}
    for mark, each in counts.items():
        if each[0] and min(each) == max(each):
            return mark
    # Where rows differ, the names of the columns tell; which rows are ragged is said later.
    return max(DELIMITERS, key=lambda mark: counts[mark][0])


def _outside_quotes(line: str, mark: str) -> int:
    return sum(part.count(mark) for part in line.split('"')[::2])


def _names_at_odds(first: Row, file: str) -> Iterator[Finding]:
    """Names of columns that stand twice, and far too many; empty ones at the end are left out."""
    while first.cells and not first.cells[-1].strip():
        first.cells.pop()
    if len(first.cells) > MOST_COLUMNS:
        message = f"there are {len(first.cells)} columns"
        yield Finding(file, first.number, message, f"keep to {MOST_COLUMNS}")
    for name, count in Counter(name.strip().casefold() for name in first.cells).items():
        if count > 1:
            message = f"{count} columns are called {quoted(name)}"
            yield Finding(file, first.number, message, "give each a name of its own")


def _misshapen(row: Row, width: int, file: str) -> Finding | None:
    """What is wrong with a row that has other cells than the columns named."""
    # Spreadsheets leave empty cells behind the last column.
    while len(row.cells) > width and not row.cells[-1].strip():
        row.cells.pop()
    if len(row.cells) != width:
        cells = "1 cell stands" if len(row.cells) == 1 else f"{len(row.cells)} cells stand"
        message = f"{cells} where the first row names {width} columns"
        return Finding(file, row.number, message, "put a cell that holds the delimiter in quotes")
    if max(map(len, row.cells), default=0) > LONGEST_CELL:
        return Finding(file, row.number, "a cell is too long", f"keep to {LONGEST_CELL}")
    return None


def decimal_mark(
    cells: Iterable[tuple[int, str]], file: str, delimiter: str, hint: str
) -> DecimalMark:
    """The decimal mark of figures, by their rows.

    Raises
    ------
    DocumentError
        If both marks occur, or it cannot be told from the figures.
    """
    sure: dict[str, int] = {}
    doubtful: dict[str, tuple[int, str]] = {}
    for number, cell in cells:
        for figure in _MARKED.findall(cell):
            if match := _GROUPED.fullmatch(figure):
                doubtful.setdefault(match[1], (number, figure))
            else:
                sure.setdefault(re.sub("[0-9]", "", figure)[-1], number)
    if len(sure) == 2:
        (first, row), (other, later) = sorted(sure.items(), key=lambda item: item[1])
        message = (
            f"figures have the decimal mark {quoted(other)} here and {quoted(first)} in row {row}"
        )
        raise refused([Finding(file, later, message, "write one of them throughout")])
    if sure:
        return "," if "," in sure else "."
    # Where commas part the cells, no figure can have been written with one.
    if doubtful and (delimiter != "," or "," in doubtful):
        number, figure = next(iter(doubtful.values()))
        plain = re.sub("[.,]", "", figure)
        message = f"{quoted(figure)} can be {plain} and {figure.replace(',', '.')}"
        raise refused([Finding(file, number, message, hint)])
    return "."


def figure(cell: str, mark: DecimalMark) -> str:
    """A cell's figures with a decimal point, and without marks between thousands."""
    if mark == ".":
        return _MARKED.sub(lambda match: match[0].replace(",", ""), cell) if "," in cell else cell
    return _MARKED.sub(lambda match: match[0].replace(".", "").replace(",", "."), cell)
