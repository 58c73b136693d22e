"""Rows of a spreadsheet to the nouns of a document, through the same checks as any document."""

from __future__ import annotations

import re
from dataclasses import fields
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple, cast, get_args, get_type_hints

from riglog.errors import DocumentError, Finding, mend_word, quoted
from riglog.interchange.document import VERSION, Document, document_of
from riglog.interchange.mapping import Column, SheetMapping
from riglog.interchange.nodes import Faulty, Mapping, Node, Scalar, Sequence
from riglog.interchange.tables import Row, Table, decimal_mark, figure, read_table, refused
from riglog.records import Build, Component
from riglog.records.readings import KINDS, reading_class
from riglog.units import Unit
from riglog.units.symbols import SYNONYMS, unit_of

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Iterator

    from riglog.interchange.tables import DecimalMark

_BARE = re.compile(r"[-+\u2212]?(?:[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)")
_SPOILT = re.compile(r"#[A-Z/0!?]+")
_SHORTENED = re.compile(r"[0-9][.,][0-9]+E[+-]?[0-9]+")
_GUARDED = re.compile(r"'[=+\-@\t\r]")
_IN_BRACKETS = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]")
_PART = re.compile(r"(\S+)\s+on\s+(\S+?)(?:\s+as\s+(\S+))?")
_MARK_HINT = "add decimal: ',' or decimal: '.' to the mapping"


class _Cell(NamedTuple):
    """Where a value comes from: a column by its place, and how its cells are read."""

    place: int
    source: Column
    unit: str
    measures: bool


class _Key(NamedTuple):
    """A key of the document, by its path, with its column or the columns of its list."""

    path: tuple[str, ...]
    cells: tuple[_Cell, ...]
    is_list: bool


def read_sheet(path: str, mapping: SheetMapping) -> Document:
    """The document that the rows of a spreadsheet make; the lines of its nodes are row numbers.

    Raises
    ------
    CallError
        If the file cannot be read.
    DocumentError
        If the table as such cannot be read; what is wrong in single rows is in the document.
    """
    return document_from(read_table(path, _delimiter(mapping)), mapping)


def _delimiter(mapping: SheetMapping) -> str | None:
    return "\t" if mapping.delimiter == "tab" else mapping.delimiter


def document_from(table: Table, mapping: SheetMapping) -> Document:
    """The document that a table makes, as ``read_sheet``."""
    keys = _keys(table, mapping)
    if not table.rows:
        raise refused([Finding(table.file, 1, "there is no row below the names of columns")])
    findings = list(table.findings)
    mark = mapping.decimal or _mark(table, keys, findings)
    read = _Rows(table.file, mapping, keys, mark, findings)
    rows = Sequence([read.node(row) for row in table.rows], 1)
    items: dict[str, Node] = {"riglog": Scalar(VERSION, 1), mapping.rows: rows}
    root = Mapping(items, 1, dict.fromkeys(items, 1))
    return document_of(root, table.file, findings)


def _mark(table: Table, keys: Iterable[_Key], findings: list[Finding]) -> DecimalMark | None:
    """The decimal mark of all columns that hold figures; None where it cannot be told."""
    places = sorted({cell.place for key in keys for cell in key.cells if cell.measures})
    cells = ((row.number, row.cells[place]) for place in places for row in table.rows)
    try:
        return decimal_mark(cells, table.file, table.delimiter, _MARK_HINT)
    except DocumentError as error:
        findings.extend(error.findings)
        return None


def _keys(table: Table, mapping: SheetMapping) -> list[_Key]:
    """The mapping's columns, found in the table."""
    findings: list[Finding] = []
    keys = []
    for words, source in mapping.columns.items():
        path = tuple(words.split("."))
        many = source if isinstance(source, tuple) else (source,)
        measures = _measures(mapping, path)
        found = [_cell(table, each, measures, findings) for each in many]
        keys.append(_Key(path, tuple(filter(None, found)), isinstance(source, tuple)))
    if findings:
        count = "1 column" if len(findings) == 1 else f"{len(findings)} columns"
        message = f"{count} of the mapping could not be found: nothing was recorded"
        raise DocumentError(message, findings=tuple(sorted(set(findings))))
    return keys


def _cell(
    table: Table, source: str | Column, measures: bool, findings: list[Finding]
) -> _Cell | None:
    column = source if isinstance(source, Column) else Column(column=source)
    name = column.column.strip()
    place = _place(table.columns, name)
    if place is None:
        message = f"there is no column {quoted(name)}"
        findings.append(Finding(table.file, 1, message, mend_word(name, table.columns)))
        return None
    stated = column.unit or _unit_in(table.columns[place])
    return _Cell(place, column, stated if measures else "", measures)


def _place(columns: list[str], name: str) -> int | None:
    """The column of that name, or of that name with a unit behind it."""
    if name in columns:
        return columns.index(name)
    bare = [_IN_BRACKETS.fullmatch(column) for column in columns]
    found = [i for i, match in enumerate(bare) if match and match[1] == name]
    return found[0] if len(found) == 1 else None


def _unit_in(column: str) -> str:
    """The unit that stands behind a column's name, if it is one."""
    match = _IN_BRACKETS.fullmatch(column)
    unit = match[2] if match else ""
    return unit if unit in unit_of() or unit.casefold() in SYNONYMS else ""


def _measures(mapping: SheetMapping, path: tuple[str, ...]) -> bool:
    """Whether a key holds figures."""
    kind = mapping.always.get("kind", "")
    nouns: dict[str, type] = {"components": Component, "builds": Build}
    if mapping.rows == "readings":
        # A column may tell the kind; then a key measures if it does in any of them.
        kinds = [kind] if kind in KINDS else list(KINDS)
        return any(path[0] in _figure_keys(reading_class(each)) for each in kinds)
    return path[0] in _figure_keys(nouns[mapping.rows])


def _figure_keys(noun: type) -> frozenset[str]:
    # A class is hashable, whatever its metaclass might say.
    return _figures_of(cast("Hashable", noun))


@cache
def _figures_of(noun: Any) -> frozenset[str]:
    hints = get_type_hints(noun, include_extras=True)
    return frozenset(
        str(spec.metadata.get("key", spec.name))
        for spec in fields(noun)
        if _holds_figures(hints[spec.name])
    )


def _holds_figures(hint: Any) -> bool:
    if hint in {float, int} or any(isinstance(mark, Unit) for mark in get_args(hint)[1:]):
        return True
    if isinstance(hint, type) and hint.__module__.startswith("riglog."):
        return False
    return any(_holds_figures(each) for each in get_args(hint) if each is not Annotated)


class _Rows:
    """Rows to nodes; what a cell cannot be is found on the way."""

    def __init__(
        self,
        file: str,
        mapping: SheetMapping,
        keys: list[_Key],
        mark: DecimalMark | None,
        findings: list[Finding],
    ) -> None:
        self._file, self._keys, self._findings = file, keys, findings
        self._always = [(tuple(key.split(".")), text) for key, text in mapping.always.items()]
        self._mark = mark

    def node(self, row: Row) -> Mapping:
        """The row as a noun of a document would be written."""
        root = Mapping({}, row.number)
        for path, text in self._always:
            _put(root, path, Scalar(text, row.number))
        for key in self._keys:
            value = self._list(key, row) if key.is_list else self._value(key.cells[0], row)
            if value is not None:
                _put(root, key.path, value)
        if isinstance(parts := root.items.get("parts"), Sequence):
            parts.items[:] = [self._part(part) for part in parts.items]
        return root

    def _list(self, key: _Key, row: Row) -> Node | None:
        """Columns of one list; all of them empty leave it out."""
        values = [self._value(cell, row) for cell in key.cells]
        if all(value is None for value in values):
            return None
        return Sequence([value or Scalar("", row.number) for value in values], row.number)

    def _value(self, cell: _Cell, row: Row) -> Node | None:
        text = row.cells[cell.place].strip()
        if not text:
            return None
        if wrong := self._wrong(text, cell):
            message, mend = wrong
            where = cell.source.column
            self._findings.append(Finding(self._file, row.number, f"{where}: {message}", mend))
            return Faulty(row.number)
        if self._mark is None and cell.measures and ("," in text or "." in text):
            return Faulty(row.number)  # what it is cannot be told, which has been said
        if _GUARDED.match(text):
            text = text[1:]
        if cell.source.split is not None:
            parts = filter(None, (part.strip() for part in text.split(cell.source.split)))
            return Sequence(
                [Scalar(self._text(part, cell), row.number) for part in parts], row.number
            )
        return Scalar(self._text(text, cell), row.number)

    def _wrong(self, text: str, cell: _Cell) -> tuple[str, str] | None:
        if text.startswith("=") and len(text) > 1:
            return f"{quoted(text)} is a formula", "export the values, not the formulas"
        if _SPOILT.fullmatch(text):
            return f"{quoted(text)} is an error of the spreadsheet", "mend the cell there"
        if not cell.measures and _SHORTENED.fullmatch(text):
            mend = "make the column text in the spreadsheet, and write the serial again"
            return f"{quoted(text)} is a figure that the spreadsheet has shortened", mend
        return None

    def _text(self, text: str, cell: _Cell) -> str:
        source = cell.source
        if text in source.words:
            return source.words[text]
        if source.slug:
            return "-".join(re.findall("[a-z0-9]+", text.casefold()))
        if not cell.measures:
            return text
        plain = text if self._mark is None else figure(text, self._mark)
        return f"{plain} {cell.unit}" if cell.unit and _BARE.fullmatch(plain) else plain

    def _part(self, part: Node) -> Node:
        """``lens-35 on body-north.lens as second`` as a part."""
        if not isinstance(part, Scalar):
            return part
        match = _PART.fullmatch(part.text)
        if match is None:
            message = f"parts: {quoted(part.text)} is no part"
            finding = Finding(self._file, part.line, message, "write it as lens-35 on body.lens")
            self._findings.append(finding)
            return Faulty(part.line)
        named = zip(("component", "on", "as"), match.groups(), strict=True)
        items: dict[str, Node] = {key: Scalar(text, part.line) for key, text in named if text}
        return Mapping(items, part.line, dict.fromkeys(items, part.line))


def _put(root: Mapping, path: tuple[str, ...], value: Node) -> None:
    node = root
    for step in path[:-1]:
        inner = node.items.setdefault(step, Mapping({}, root.line))
        node.key_lines.setdefault(step, root.line)
        if not isinstance(inner, Mapping):
            return
        node = inner
    node.items[path[-1]] = value
    node.key_lines[path[-1]] = root.line


def rows_of(document: Document) -> Iterator[tuple[int, Any]]:
    """Row and noun of each row that was read, in the order of the table."""
    for group in (document.components, document.builds, document.readings):
        for placed in group:
            yield placed.node.line, placed.noun
