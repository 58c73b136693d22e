"""YAML and JSON to a plain tree in which every scalar is text and everything knows its line.

YAML has more power than a list of lenses needs: a field's type is guessed from its looks
(``16:9`` is 969), 276 bytes of aliases become megabytes, tags run code. One pass over the
parser's events refuses all of it, with line numbers, and builds the tree on the way. JSON is
read as the YAML that it is.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from riglog.errors import Finding, quoted
from riglog.interchange.nodes import Faulty, Mapping, Node, Scalar, Sequence
from riglog.interchange.source import UnreadableError, decode, syntax_finding

if TYPE_CHECKING:
    from collections.abc import Iterator

DEEPEST = 20
MOST_NODES = 500_000
_START = "begin it with riglog: 1"
_SPLIT = "split it"
_WRITE_OUT = "write the value out"

# What other programs write for "nothing". A key that says nothing is left out.
_NOTHING = {"", "~", "null", "Null", "NULL"}


def read_nodes(data: bytes | str, file: str) -> tuple[Node | None, list[Finding]]:
    """The tree of one document, and what is wrong with how it is written.

    Parameters
    ----------
    data
        The document; bytes are UTF-8, with or without a byte-order mark.
    file
        Its name, for the findings.

    Returns
    -------
    tuple
        The tree, or None where nothing can be read; and the findings.
    """
    import yaml  # 12 ms that only documents cost

    reader = _Reader(file)
    try:
        text = decode(data, file)
        return reader.document(yaml.parse(text, Loader=_loader())), reader.findings
    except UnreadableError as error:
        return None, [*reader.findings, error.finding]
    except yaml.MarkedYAMLError as error:
        return None, [*reader.findings, syntax_finding(error, file)]


@cache
def _loader() -> Any:
    """The base loader in C, ten times as fast; in Python where nobody built it."""
    import yaml

    return getattr(yaml, "CBaseLoader", yaml.BaseLoader)


class _Reader:
    """Builds the tree from the parser's events and notes what it refuses."""

    def __init__(self, file: str) -> None:
        self.findings: list[Finding] = []
        self._file = file
        self._count = 0

    def document(self, events: Iterator[Any]) -> Node:
        """The root of the only document."""
        self._events = events
        next(events)
        first = next(events)
        if not _is(first, "DocumentStart"):
            raise self._unreadable(1, "the document is empty", _START)
        root = self._node(next(events), depth=0)
        next(events)
        if not _is(last := next(events), "StreamEnd"):
            message = "a second document begins here"
            self._note(_line(last), message, "put it into a file of its own")
        return root

    def _node(self, event: Any, depth: int, key_line: int = 0) -> Node:
        self._count += 1
        if depth > DEEPEST:
            raise self._unreadable(
                _line(event), f"lists and keys are more than {DEEPEST} deep", "write it flatter"
            )
        if self._count > MOST_NODES:
            raise self._unreadable(_line(event), "the document has too many values", _SPLIT)
        if not _is(event, "Alias"):
            self._refuse_powers(event)
        if _is(event, "MappingStart"):
            return self._mapping(event, depth)
        if _is(event, "SequenceStart"):
            return self._sequence(event, depth)
        if _is(event, "Alias"):
            message = f"aliases such as *{event.anchor} are not read"
            return self._faulty(_line(event), message, _WRITE_OUT)
        if event.implicit[0] and event.value in _NOTHING:
            # Where nothing was written, the parser has gone on to what comes next.
            line = _line(event) if event.value else key_line or _line(event)
            return self._faulty(line, "nothing stands here", "write a value or leave it out")
        return Scalar(event.value, _line(event))

    def _refuse_powers(self, event: Any) -> None:
        if event.anchor is not None:
            self._note(_line(event), f"anchors such as &{event.anchor} are not read", _WRITE_OUT)
        if event.tag is not None:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            self._note(_line(event), f"tags such as {tag} are not read", "leave the tag out")

    def _faulty(self, line: int, message: str, mend: str) -> Faulty:
        self._note(line, message, mend)
        return Faulty(line)

    def _sequence(self, start: Any, depth: int) -> Sequence:
        items = []
        while not _is(event := next(self._events), "SequenceEnd"):
            items.append(self._node(event, depth + 1))
        return Sequence(items, _line(start))

    def _mapping(self, start: Any, depth: int) -> Mapping:
        mapping = Mapping({}, _line(start))
        while not _is(event := next(self._events), "MappingEnd"):
            self._pair(mapping, event, depth)
        return mapping

    def _pair(self, mapping: Mapping, event: Any, depth: int) -> None:
        line = _line(event)
        key = self._node(event, depth + 1)
        value = self._node(next(self._events), depth + 1, line)
        if isinstance(key, Sequence | Mapping):
            self._note(line, "a key is not text", "write a word before the colon")
        elif isinstance(key, Faulty):
            return
        elif key.text in mapping.key_lines:
            message = (
                f"{quoted(key.text)} stands twice, first on line {mapping.key_lines[key.text]}"
            )
            self._note(line, message, "keep one of them")
        else:
            mapping.key_lines[key.text] = line
            mapping.items[key.text] = value

    def _note(self, line: int, message: str, mend: str) -> None:
        self.findings.append(Finding(self._file, line, message, mend))

    def _unreadable(self, line: int, message: str, mend: str) -> UnreadableError:
        return UnreadableError(Finding(self._file, line, message, mend))


def _is(event: Any, name: str) -> bool:
    return type(event).__name__ == f"{name}Event"


def _line(event: Any) -> int:
    return int(event.start_mark.line) + 1
