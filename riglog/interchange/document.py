"""Kit documents: components, rigs, builds, scales, readings and measurements.

They are read as that, whatever their order in the file.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from riglog.errors import Finding, listed, mend_word, name_shown, quoted
from riglog.interchange.nodes import (
    Faulty,
    Mapping,
    Node,
    Path,
    Scalar,
    Sequence,
    line_of,
    path_words,
    plain,
)
from riglog.interchange.source import read_bytes
from riglog.interchange.yaml_reader import read_nodes
from riglog.records import Build, Component, Reading, Rig
from riglog.records.measurements import MEASUREMENT_KINDS, Measurement
from riglog.records.readings import KINDS, reading_class
from riglog.records.weighing_scale import WeighingScale

if TYPE_CHECKING:
    from collections import abc
    from collections.abc import Iterator

    Kinds = abc.Mapping[str, abc.Mapping[str, object]]

VERSION = "1"
KEYS = ("riglog", "components", "rigs", "builds", "scales", "readings", "measurements")
# Those whose entries have an id; all of them share one namespace.
NAMED = KEYS[1:5]
_NOUNS = {"components": Component, "rigs": Rig, "builds": Build, "scales": WeighingScale}

# Of what has no id: the kinds there are, and the key of what it is about.
_KINDS: Kinds = {"readings": KINDS, "measurements": MEASUREMENT_KINDS}
_ABOUT = {"readings": "build", "measurements": "component"}

N = TypeVar("N")


@dataclass(frozen=True, slots=True)
class Placed(Generic[N]):
    """A noun and where it was written."""

    noun: N
    title: str
    file: str
    node: Node

    def finding(self, path: Path, message: str, mend: str) -> Finding:
        """A finding about what a path of document keys leads to, at its line."""
        where = " ".join(filter(None, (self.title, path_words(self.node, path))))
        return Finding(self.file, line_of(self.node, path), f"{where}: {message}", mend)


@dataclass(frozen=True, slots=True)
class Document:
    """What one file holds.

    ``findings`` is all that is wrong with the file by itself; nouns that could be read are there
    in spite of it, so that checks against a library find the rest in the same run. ``unread``
    are the ids of those that could not.
    """

    file: str
    components: tuple[Placed[Component], ...] = ()
    rigs: tuple[Placed[Rig], ...] = ()
    builds: tuple[Placed[Build], ...] = ()
    scales: tuple[Placed[WeighingScale], ...] = ()
    readings: tuple[Placed[Reading], ...] = ()
    measurements: tuple[Placed[Measurement], ...] = ()
    findings: tuple[Finding, ...] = ()
    unread: frozenset[str] = frozenset()


def read_file(path: str) -> Document:
    """The document in a file.

    Raises
    ------
    CallError
        If the file cannot be read.
    """
    return read_document(read_bytes(path), path)


def read_document(data: bytes | str, file: str = "-") -> Document:
    """The document in a text.

    Parameters
    ----------
    data
        YAML or JSON; bytes are UTF-8.
    file
        Its name, for the findings.

    Returns
    -------
    Document
        With findings where something is wrong; this function never raises for what a text says.
    """
    root, findings = read_nodes(data, file)
    reader = _Reader(file, findings)
    if root is not None:
        reader.read(root)
    return reader.document()


def document_of(root: Mapping, file: str, findings: list[Finding]) -> Document:
    """The document that a tree of nodes is, with what was found wrong before."""
    reader = _Reader(file, findings)
    reader.read(root)
    return reader.document()


class _Reader:
    """Collects nouns and findings while it goes through a tree."""

    def __init__(self, file: str, findings: list[Finding]) -> None:
        self._file = file
        self._findings = findings
        self._nouns: dict[str, list[Placed[Any]]] = {key: [] for key in KEYS[1:]}
        self._unread: set[str] = set()

    def document(self) -> Document:
        """What was collected."""
        nouns = {key: tuple(found) for key, found in self._nouns.items()}
        findings = tuple(sorted(set(self._findings)))
        return Document(self._file, **nouns, findings=findings, unread=frozenset(self._unread))

    def read(self, root: Node) -> None:
        """Take in a whole document."""
        if not isinstance(root, Mapping):
            self._note(root.line, "the document has no keys", f"begin it with riglog: {VERSION}")
        elif self._version_fits(root):
            self._unknown_keys(root)
            for key in KEYS[1:]:
                for node in self._list(root, key):
                    self._noun(key, node)
            self._repeated_ids(root)

    def _version_fits(self, root: Mapping) -> bool:
        version = root.items.get("riglog")
        if isinstance(version, Scalar) and version.text != VERSION:
            message = f"riglog: {quoted(version.text)} is a version that this program cannot read"
            self._note(version.line, message, f"write riglog: {VERSION}, or get a newer riglog")
            return False
        if not isinstance(version, Scalar | Faulty):
            line = version.line if version else root.line
            self._note(line, "the version is missing", f"begin the document with riglog: {VERSION}")
        return True

    def _unknown_keys(self, root: Mapping) -> None:
        for key in root.items.keys() - set(KEYS):
            message = f"{quoted(key)} is no key of a document"
            self._note(root.key_lines[key], message, mend_word(key, KEYS))

    def _list(self, root: Mapping, key: str) -> list[Node]:
        node = root.items.get(key)
        if isinstance(node, Sequence):
            return node.items
        if isinstance(node, Mapping | Scalar):
            line = root.key_lines[key]
            self._note(line, f"{key} is not a list", "write each of them behind a dash")
        return []

    def _noun(self, key: str, node: Node) -> None:
        if isinstance(node, Faulty):
            return
        if not isinstance(node, Mapping):
            self._note(node.line, f"{key}: an entry has no keys", "write key: value")
            return
        noun = self._class(key, node)
        if noun is not None:
            self._validate(key, noun, node)

    def _repeated_ids(self, root: Mapping) -> None:
        """Ids are one namespace, and a document describes a thing once."""
        first: dict[str, int] = {}
        for node in (node for key in NAMED for node in _mappings(root.items.get(key))):
            for name in _ids(node):
                line = line_of(node, ("id",))
                if name in first:
                    message = f"the id {name_shown(name)} stands twice, first on line {first[name]}"
                    self._note(line, message, "keep one of them, or choose another id")
                first.setdefault(name, line)

    def _class(self, key: str, node: Mapping) -> type | None:
        if key in _NOUNS:
            return _NOUNS[key]
        kind, kinds = node.items.get("kind"), _KINDS[key]
        if isinstance(kind, Scalar) and kind.text in kinds:
            return reading_class(kind.text) if key == "readings" else MEASUREMENT_KINDS[kind.text]
        if isinstance(kind, Scalar):
            message = f"{_title(key, node)}: {quoted(kind.text)} is no kind of {_one(key)}"
            self._note(kind.line, message, mend_word(kind.text, kinds))
        elif not isinstance(kind, Faulty):
            message = f"{_title(key, node)}: kind is missing"
            self._note(node.line, message, f"add kind: {listed(kinds)}")
        return None

    def _validate(self, key: str, noun: type, node: Mapping) -> None:
        # pydantic costs 60 ms, which only documents pay.
        from pydantic import ValidationError

        from riglog.interchange.adapters import model, noun_of
        from riglog.interchange.complaints import findings

        try:
            read = noun_of(noun, model(noun).model_validate(plain(node)))
        except ValidationError as error:
            found = findings(error, noun, node, self._file, _title(key, node))
            self._findings.extend(found)
            self._unread.update(_ids(node))
        else:
            self._nouns[key].append(Placed(read, _title(key, node), self._file, node))

    def _note(self, line: int, message: str, mend: str) -> None:
        self._findings.append(Finding(self._file, line, message, mend))


def _title(key: str, node: Mapping) -> str:
    """What a message calls a noun: its id, or ``drop of a-cam``."""
    if key in NAMED:
        named = next(_ids(node), "")
        return name_shown(named) if named else f"a {_one(key)}"
    kind, about = node.items.get("kind"), node.items.get(_ABOUT[key])
    what = kind.text if isinstance(kind, Scalar) and kind.text in _KINDS[key] else _one(key)
    return f"{what} of {name_shown(about.text)}" if isinstance(about, Scalar) else f"a {what}"


def _one(key: str) -> str:
    return key.removesuffix("s")


def _ids(node: Mapping) -> Iterator[str]:
    named = node.items.get("id")
    if isinstance(named, Scalar):
        yield named.text


def _mappings(node: Node | None) -> list[Mapping]:
    items = node.items if isinstance(node, Sequence) else []
    return [item for item in items if isinstance(item, Mapping)]
