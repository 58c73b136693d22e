"""What follows from an entry alone: what it uses and is about, its day, the words that find it.

The log's derived tables hold these. They must follow from the entry, so that they can be rebuilt
and audited. Whoever changes an answer for entries that exist already writes a migration that
rebuilds the tables.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.logbook.entry import Body


def own_uses(kind: str, body: Body) -> set[str]:
    """Ids of the things that an entry names as used: a build's rig and components."""
    if kind != "build":
        return set()
    named = [body.get("rig"), *(_get(part, "component") for part in _items(body.get("parts")))]
    return {name for name in named if isinstance(name, str)}


def version_used(kind: str, body: Body) -> str | None:
    """Id of the entry whose uses are also those of this one: a reading's version of the build."""
    version = _get(body.get("stand"), "version") if kind == "reading" else None
    return version if isinstance(version, str) else None


def day(kind: str, at: str, body: Body) -> str:
    """The day that an entry is of: when a reading was taken, when anything else was recorded."""
    on = body.get("on") if kind == "reading" else None
    return (on if isinstance(on, str) else at)[:10]


# Where the rig stood is figures and the id of an entry, as these are; nobody searches for those.
_NO_WORDS = {"stand", "entry", "reverses"}
# Under which key an entry of each kind names the entries that it is about.
_ABOUT = {"note": "entry", "tag": "entry", "name": "entry", "undo": "reverses"}


def targets(kind: str, body: Body) -> tuple[str, ...]:
    """Ids of the entries that a note, a tag, a name or an undo is about."""
    named = body.get(_ABOUT.get(kind, ""))
    several = named if isinstance(named, list) else [named]
    return tuple(dict.fromkeys(each for each in several if isinstance(each, str)))


def targets_of_text(kind: str, body: str) -> tuple[str, ...]:
    """The same of a body as the log holds it."""
    return targets(kind, json.loads(body)) if kind in _ABOUT else ()


def text(subject: str, author: str, body: Body) -> str:
    """The words that find an entry: its subject, its author, and every text in its body."""
    found = dict.fromkeys([subject, author])
    told = {key: value for key, value in body.items() if key not in _NO_WORDS}
    found.update(dict.fromkeys(_texts(told)))
    return "\n".join(found)


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, item in value.items():
            if key == "also":  # its keys are a person's own words
                yield from _items(list(item) if isinstance(item, dict) else None)
            yield from _texts(item)
    elif isinstance(value, list):
        for item in value:
            yield from _texts(item)


def _get(value: Any, key: str) -> Any:
    return value.get(key) if isinstance(value, dict) else None


def _items(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []
