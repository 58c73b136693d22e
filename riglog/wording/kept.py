"""What listings of records share: counts, days, and what is told of every version."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording import layout

if TYPE_CHECKING:
    from riglog.jobs.listing import Kept

_SHORT_ID = 8
_AUTHOR = 10


def many(count: int, noun: str) -> str:
    """``1 build``, ``3 builds``, ``2 entries``."""
    if count == 1:
        return f"{count} {noun}"
    return f"{count} {noun[:-1]}ies" if noun.endswith("ry") else f"{count} {noun}s"


def day(at: str) -> str:
    """The day of a time, where it was recorded."""
    return at[:10]


def minute(at: str) -> str:
    """Day and minute of a time, where it was recorded."""
    return at[:16].replace("T", " ")


def short(entry: str) -> str:
    """As much of an entry's id as people type."""
    return entry[:_SHORT_ID]


def who(author: str) -> str:
    """An author, short enough for a column."""
    return layout.shortened(layout.harmless(author), _AUTHOR)


def number(name: str) -> int | None:
    """The number of a version by its name, which on a fork has more to it."""
    figure = name.partition(".")[0]
    return int(figure) if figure.isdigit() else None


def as_json(told: Kept) -> dict[str, Any]:
    """What is told of every version."""
    return {
        "version": number(told.version),
        "name": told.version,
        "entry": told.entry,
        "author": told.author,
        "at": told.at,
        "forked": told.forked,
    }
