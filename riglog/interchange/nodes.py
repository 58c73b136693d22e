"""The plain tree of a document: every scalar is text, and everything knows its line."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from riglog.errors import name_shown, quoted


@dataclass(frozen=True, slots=True)
class Scalar:
    """A single value, as it was written."""

    text: str
    line: int


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list."""

    items: list[Node]
    line: int


@dataclass(frozen=True, slots=True)
class Mapping:
    """Keys and values, with the line of each key."""

    items: dict[str, Node]
    line: int
    key_lines: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Faulty:
    """A value that a finding was made of already."""

    line: int


Node = Scalar | Sequence | Mapping | Faulty
Path = tuple[str | int, ...]


def plain(node: Node) -> Any:
    """Text, lists and dicts of a node, without the lines; None for what is faulty."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    if isinstance(node, Mapping):
        return {key: plain(item) for key, item in node.items.items()}
    return None


def follow(node: Node, path: Path) -> Node:
    """What a path leads to, or as near as it gets.

    Steps that the tree does not have are passed over, for a path may name what nobody wrote: a
    default, or the long form of a value written in short.
    """
    for step in path:
        node = _child(node, step) or node
    return node


def line_of(node: Node, path: Path) -> int:
    """Line of what a path leads to: that of its key, where it has one."""
    line = node.line
    for step in path:
        child = _child(node, step)
        if child is not None:
            line = node.key_lines[str(step)] if isinstance(node, Mapping) else child.line
            node = child
    return line


def _child(node: Node, step: str | int) -> Node | None:
    if isinstance(node, Mapping):
        return node.items.get(str(step))
    if isinstance(node, Sequence) and isinstance(step, int) and step < len(node.items):
        return node.items[step]
    return None


def path_words(node: Node, path: Path) -> str:
    """A path as people read it: ``adjusters.pivot.travel``; values of a plain list share one."""
    words: list[str] = []
    for index, step in enumerate(path):
        if step == "[key]":
            continue
        word = step if isinstance(step, str) else name_of(follow(node, path[: index + 1]))
        words.extend([name_shown(word)] if word else [])
    return ".".join(words)


def name_of(node: Node) -> str:
    """What a noun in a list is called, where it has a name."""
    if isinstance(node, Mapping):
        for key in ("as", "id", "component"):
            if isinstance(named := node.items.get(key), Scalar):
                return named.text
    return ""


def shown(node: Node) -> str:
    """A value as it was written."""
    if isinstance(node, Sequence):
        return f"[{', '.join(item.text for item in node.items if isinstance(item, Scalar))}]"
    return quoted(node.text) if isinstance(node, Scalar) else "it"
