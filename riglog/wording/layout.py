"""How a page is set: 80 columns, small tables, and commands that can be copied."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

WIDTH = 80
_GAP = "  "
_LEAST_NAME = 8
# A figure stays on one line with its unit.
_UNIT = re.compile(r"(?<=[0-9]) (?=(?:mm|cm|in|s|deg|g|kg|lb|oz|%)\b)")
_GLUE = "\u00a0"


def page(*blocks: str) -> str:
    """Blocks with an empty line between them; empty ones are left out."""
    return "\n\n".join(block for block in blocks if block)


def lines(*sentences: str) -> str:
    """Sentences, each on a line of its own and wrapped; empty ones are left out."""
    return "\n".join(wrapped(sentence) for sentence in sentences if sentence)


def wrapped(text: str, first: str = "", rest: str = "") -> str:
    """Text in lines of at most 80 columns, the first and the others indented as told."""
    glued = _UNIT.sub(_GLUE, text)
    if glued.replace(_GLUE, " ").isascii():
        from textwrap import wrap
    else:  # 30 ms, for names that have wide letters
        from wcwidth import wrap
    found = wrap(glued, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
    return "\n".join(found).replace(_GLUE, " ")


def listing(heading: str, sentences: Iterable[str]) -> str:
    """A heading and one dash a sentence; nothing where there is nothing to list."""
    items = [wrapped(sentence, "- ", "  ") for sentence in sentences]
    return "\n".join([wrapped(heading), *items]) if items else ""


def numbered(heading: str, sentences: Sequence[str]) -> str:
    """A heading and one number a sentence, in the order of work."""
    deep = len(str(len(sentences)))
    items = [
        wrapped(sentence, f"{number:>{deep}}. ", " " * (deep + 2))
        for number, sentence in enumerate(sentences, 1)
    ]
    return "\n".join([heading, *items]) if items else ""


def command(*words: str) -> str:
    """A command line, indented; one that is too long goes on after a backslash."""
    rows = [""]
    for word in words:
        if rows[-1] and len(rows[-1]) + len(word) > WIDTH - 8:
            rows.append("")
        rows[-1] = f"{rows[-1]} {word}".strip()
    return "  " + " \\\n    ".join(rows)


def table(rows: Sequence[Sequence[str]], align: str, yields: int = 0) -> str:
    """Columns, two spaces apart; one gives way where a line would be too long.

    Parameters
    ----------
    rows
        The heading first; all of the same length.
    align
        For each column ``<`` or ``>``.
    yields
        The column that gives way, by default the first.
    """
    sizes = [max(width(cell) for cell in column) for column in zip(*rows, strict=True)]
    room = WIDTH - sum(sizes) + sizes[yields] - len(_GAP) * (len(sizes) - 1)
    sizes[yields] = min(sizes[yields], max(room, _LEAST_NAME))
    cells = (
        [*row[:yields], shortened(row[yields], sizes[yields]), *row[yields + 1 :]] for row in rows
    )
    return "\n".join(_GAP.join(map(_filled, row, sizes, align)).rstrip() for row in cells)


def facts(rows: Sequence[tuple[str, str]]) -> str:
    """What and how much, one a line; whatever has no value is left out."""
    told = [(name, text) for name, text in rows if text]
    deep = max(width(name) for name, _ in told) + len(_GAP)
    return "\n".join(
        wrapped(text, f"{name}{' ' * (deep - width(name))}", " " * deep) for name, text in told
    )


def shortened(text: str, most: int) -> str:
    """A long name without its middle: both its ends tell it from others."""
    if width(text) <= most:
        return text
    head = (most - 1) // 2
    return f"{_start(text, head)}..{_start(text[::-1], most - 2 - head)[::-1]}"


def width(text: str) -> int:
    """Columns that a text takes on a terminal."""
    if text.isascii():
        return len(text)
    from wcwidth import width as columns

    return columns(text)


def capital(text: str) -> str:
    """A sentence from its words: the first letter large, the others as they are."""
    return text[:1].upper() + text[1:]


def harmless(text: str) -> str:
    """A person's words on one line, with whatever could steer a terminal spelled out."""
    return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)


def _filled(text: str, size: int, side: str) -> str:
    blank = " " * (size - width(text))
    return blank + text if side == ">" else text + blank


def _start(text: str, most: int) -> str:
    """As much of a text as so many columns hold."""
    end = len(text)
    while width(text[:end]) > most:
        end -= 1
    return text[:end]
