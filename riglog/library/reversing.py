"""The content of a thing without what one of its versions changed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import NoAnswerError, listed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from riglog.logbook import Entry
    from riglog.logbook.entry import Body

# Fields whose items are compared one by one: each is somebody's own decision.
BY_KEY = {"settings", "states", "mounts", "also", "rated_load"}
BY_NAME = {"parts", "adjusters"}

Path = tuple[str, ...]
_GONE = object()


def reversed_body(head: Entry, entry: Entry, before: Entry, called: Callable[[Entry], str]) -> Body:
    """The content of ``head`` without what ``entry`` changed since ``before``.

    Raises
    ------
    NoAnswerError
        If a later version changed the same again.
    """
    now, then, was = (flat(each.body) for each in (head, entry, before))
    changed = [path for path in differing(then, was) if now.get(path) != was.get(path)]
    again = [path for path in changed if now.get(path, _GONE) != then.get(path, _GONE)]
    if again:
        what = listed([field_name(path) for path in again], "and")
        message = f"{what} changed again since {called(entry)}, up to {called(head)}"
        raise NoAnswerError(message, hint="undo the later version first, or add the document anew")
    for path in changed:
        if path in was:
            now[path] = was[path]
        else:
            now.pop(path, None)
    return folded(now)


def changed_fields(one: Body, other: Body) -> tuple[str, ...]:
    """Names of the fields in which two contents differ, sorted."""
    return tuple(sorted(field_name(path) for path in differing(flat(one), flat(other))))


def differing(one: Mapping[Path, Any], other: Mapping[Path, Any]) -> list[Path]:
    """Paths at which two contents differ, in the order in which they are met."""
    paths = dict.fromkeys([*one, *other])
    return [path for path in paths if one.get(path, _GONE) != other.get(path, _GONE)]


def flat(body: Body) -> dict[Path, Any]:
    """A body by the paths of what may change by itself: ``("settings", "pivot")``."""
    found: dict[Path, Any] = {}
    for key, value in body.items():
        if key in BY_KEY and isinstance(value, dict):
            found.update({(key, name): item for name, item in value.items()})
        elif key in BY_NAME and isinstance(value, list):
            found.update({(key, item_name(item)): item for item in value})
        else:
            found[(key,)] = value
    return found


def item_name(item: Mapping[str, Any]) -> str:
    """What a part or an adjuster is called."""
    named = (item.get(key) for key in ("name", "as", "component", "id"))
    return str(next(filter(None, named), ""))


def folded(values: Mapping[Path, Any]) -> dict[str, Any]:
    """The body of such paths."""
    body: dict[str, Any] = {}
    for (key, *name), value in values.items():
        if not name:
            body[key] = value
        elif key in BY_NAME:
            body.setdefault(key, []).append(value)
        else:
            body.setdefault(key, {})[name[0]] = value
    return body


def field_name(path: Path) -> str:
    """A path as documents write it: ``settings.pivot``."""
    return ".".join(path)
