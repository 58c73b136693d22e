"""What several heads say, field by field, and one body of what was chosen of them.

A part of a build and an adjuster are fields of their own, by their names; where every head has one,
so is each thing that it says. Of one that only some have, it is one field whether it is there.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Any

from riglog.library.reversing import BY_KEY, BY_NAME, field_name
from riglog.library.reversing import flat as by_path

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from riglog.logbook.entry import Body

Flat = dict[str, Any]


def flat(body: Body, whole: Collection[str]) -> Flat:
    """A body by its fields, as ``parts.hood.on``; those items that are ``whole`` as one field."""
    found: Flat = {}
    for path, value in by_path(body).items():
        name = field_name(path)
        if path[0] in BY_NAME and len(path) > 1 and name not in whole:
            found.update({f"{name}.{key}": each for key, each in value.items()})
        else:
            found[name] = value
    return found


def folded(fields: Flat) -> dict[str, Any]:
    """The body that has such fields."""
    body: dict[str, Any] = {}
    items: dict[str, dict[str, Any]] = {}
    for field, value in fields.items():
        key, _, inner = field.partition(".")
        if not inner:
            body[key] = value
        elif key in BY_KEY:
            body.setdefault(key, {})[inner] = value
        else:
            item, _, attribute = inner.partition(".")
            said = {attribute: value} if attribute else value
            items.setdefault(key, {}).setdefault(item, {}).update(said)
    return body | {key: list(named.values()) for key, named in items.items()}


def items(body: Body) -> Flat:
    """Parts and adjusters of a body by their fields."""
    return {
        field_name(path): value
        for path, value in by_path(body).items()
        if path[0] in BY_NAME and len(path) > 1
    }


def item_of(field: str) -> str | None:
    """The part or adjuster that a field is about; None where it is about neither."""
    key, *rest = field.split(".")
    return ".".join([key, rest[0]]) if key in BY_NAME and rest else None


def not_in_all(bodies: Sequence[Body]) -> set[str]:
    """Parts and adjusters that some bodies lack, or call by a name of their own making."""
    there = [items(body) for body in bodies]
    every = {name for found in there for name in found}
    return {
        name
        for name in every
        if any(name not in found for found in there)
        or len({found[name].get("name") for found in there}) > 1
    }


def rivals(bodies: Sequence[Body], base: Body) -> set[str]:
    """Parts that two heads each put, one without the other, where only one can be.

    That is the very same place, or a mount from which both took the part that was there.
    """
    was = _parts(base)
    found: set[str] = set()
    for one, other in combinations(map(_parts, bodies), 2):
        left = {part["on"] for name, part in was.items() if name not in one and name not in other}
        mine = {name: part for name, part in one.items() if name not in was and name not in other}
        theirs = {name: part for name, part in other.items() if name not in was and name not in one}
        for name, part in mine.items():
            for rival, there in theirs.items():
                if part["on"] == there["on"] and (part["on"] in left or _at(part) == _at(there)):
                    found |= {name, rival}
    return found


def _parts(body: Body) -> dict[str, dict[str, Any]]:
    return {name: part for name, part in items(body).items() if name.startswith("parts.")}


def _at(part: Mapping[str, Any]) -> tuple[Any, ...]:
    return part.get("offset"), part.get("turn")


def without_lost_parts(fields: Flat) -> Flat:
    """Without what is said of the adjusters and states of parts that a build does not have."""
    there = {item.partition(".")[2] for item in map(item_of, fields) if item}
    return {field: value for field, value in fields.items() if _owner(field) in {None, *there}}


def _owner(field: str) -> str | None:
    """The part whose setting or state it is; None where it is something else."""
    key, _, inner = field.partition(".")
    if key == "settings" and "." in inner:
        return inner.partition(".")[0]
    return inner if key == "states" else None


def in_the_air(body: Body) -> Iterator[tuple[str, str]]:
    """Parts that sit on a part that is not there, and that part."""
    parts = {name.partition(".")[2]: part for name, part in _parts(body).items()}
    for name, part in parts.items():
        owner, dot, _ = part["on"].rpartition(".")
        if dot and owner not in parts:
            yield name, owner
