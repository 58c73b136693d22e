"""Which column of a spreadsheet is which key of a document: mapping files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from riglog.errors import DocumentError, Finding
from riglog.interchange.nodes import Mapping as MappingNode
from riglog.interchange.nodes import Node, Scalar, plain
from riglog.interchange.source import read_bytes
from riglog.interchange.yaml_reader import read_nodes

VERSION = "1"
KEY = "riglog_import"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of the spreadsheet.

    ``column`` is its name in the first row. ``unit`` is that of bare figures in it, where the name
    does not end in one, as in Weight (kg). ``split`` parts a cell into a list. ``words`` says what
    a cell's words are in a document. ``slug`` makes an id of a name: Lens 35 becomes lens-35.
    """

    column: str
    unit: str | None = None
    split: str | None = None
    words: Mapping[str, str] = field(default_factory=dict)
    slug: bool = False


Source = str | Column | tuple[str | Column, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetMapping:
    """What the rows of a spreadsheet are, and where each key of them stands.

    ``rows`` is the list of a document that they become. ``columns`` names a column for each key, or
    several for a list such as a size; settings.pivot is a key inside another. ``always`` are keys
    that every row has alike, as kind: drop of readings. ``decimal`` is the decimal mark and
    ``delimiter`` what stands between cells, where the figures leave it open. A cell that is empty
    leaves its key out. Parts of a build are written as lens-35 on body-north.lens.
    """

    rows: Literal["components", "builds", "readings"]
    columns: Mapping[str, Source]
    always: Mapping[str, str] = field(default_factory=dict)
    decimal: Literal[".", ","] | None = None
    delimiter: Literal[";", ",", "|", "tab"] | None = None


def read_mapping(path: str) -> SheetMapping:
    """The mapping in a file.

    Raises
    ------
    CallError
        If the file cannot be read.
    DocumentError
        With everything that is wrong in it.
    """
    root, findings = read_nodes(read_bytes(path), path)
    mapping = None
    if isinstance(root, MappingNode):
        mapping, found = _validated(root, path)
        findings = [*findings, *found]
    elif root is not None:
        mend = f"begin it with {KEY}: {VERSION}"
        findings = [*findings, Finding(path, root.line, "the mapping has no keys", mend)]
    if findings or mapping is None:
        count = "1 mistake" if len(findings) == 1 else f"{len(findings)} mistakes"
        message = f"{count} in the mapping: nothing was recorded"
        raise DocumentError(message, findings=tuple(sorted(set(findings))))
    return mapping


def _validated(root: MappingNode, path: str) -> tuple[SheetMapping | None, list[Finding]]:
    from pydantic import ValidationError

    from riglog.interchange.adapters import model, noun_of
    from riglog.interchange.complaints import findings

    version = root.items.pop(KEY, None)
    found = _version(version, root, path)
    try:
        mapping: SheetMapping = noun_of(
            SheetMapping, model(SheetMapping).model_validate(plain(root))
        )
    except ValidationError as error:
        return None, [*found, *findings(error, SheetMapping, root, path, "the mapping")]
    return mapping, found


def _version(version: Node | None, root: MappingNode, path: str) -> list[Finding]:
    if isinstance(version, Scalar) and version.text == VERSION:
        return []
    line = root.key_lines.get(KEY, root.line)
    mend = f"begin it with {KEY}: {VERSION}"
    return [Finding(path, line, "the version of the mapping is missing or unknown", mend)]
