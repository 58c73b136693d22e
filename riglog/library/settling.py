"""Two heads made one: which fields differ, who changed what, and the body that was chosen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from riglog.errors import CallError, NoAnswerError, listed, mend_word, quoted
from riglog.library.foreign import record_fault
from riglog.logbook import Draft, now
from riglog.logbook import versions as naming
from riglog.logbook.versions import Place

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from riglog.logbook import Reader, Transaction, Version
    from riglog.logbook.entry import Body

Flat = dict[str, Any]

# Whoever moves the stage says nothing of the pivot: these are chosen key by key.
_BY_KEY = ("settings", "mounts", "states", "also", "rated_load")
_MISSING = object()


class Differing(NamedTuple):
    """A field in which heads differ.

    ``changed`` are the names of the heads that changed it since the version that all came from.
    """

    field: str
    changed: tuple[str, ...]


class Fork(NamedTuple):
    """A thing with several heads; ``base`` is the newest version that all of them came from."""

    kind: str
    subject: str
    heads: tuple[Version, ...]
    base: Version | None
    fields: tuple[Differing, ...]


class Choice(NamedTuple):
    """Which head counts, as words: one for all, or for some fields, or each where it alone changed.

    ``take`` is a version's name. ``fields`` names one for each field. ``join`` takes what only one
    of them changed from that one.
    """

    take: str | None = None
    fields: Mapping[str, str] = {}
    join: bool = False

    @property
    def made(self) -> bool:
        """Whether anything was chosen."""
        return bool(self.take or self.fields or self.join)


def fork_of(log: Reader, kind: str, subject: str) -> Fork:
    """The fork of a thing.

    Raises
    ------
    NoAnswerError
        If it has one head.
    """
    heads = tuple(map(log.version_of, log.heads(kind, subject)))
    if len(heads) < 2:
        raise NoAnswerError(f"{subject} has one newest version: there is nothing to settle")
    base = _base(log, heads)
    return Fork(kind, subject, heads, base, tuple(_differing(heads, base)))


def _base(log: Reader, heads: Sequence[Version]) -> Version | None:
    first, *others = ([each.id for each in log.ancestors(head.entry.id)] for head in heads)
    common = [each for each in first if all(each in other for other in others)]
    return log.version_of(log.entry(common[0])) if common else None


def _differing(heads: Sequence[Version], base: Version | None) -> Iterator[Differing]:
    bodies = [flat(head.entry.body) for head in heads]
    before = flat(base.entry.body) if base else {}
    for field in dict.fromkeys(key for body in bodies for key in body):
        values = [body.get(field, _MISSING) for body in bodies]
        if any(value != values[0] for value in values):
            was = before.get(field, _MISSING)
            changed = (h.name for h, v in zip(heads, values, strict=True) if v != was)
            yield Differing(field, tuple(changed))


def flat(body: Body) -> Flat:
    """A body with the keys of some of its mappings as fields of their own."""
    found: Flat = {}
    for key, value in body.items():
        if key in _BY_KEY:
            found.update({f"{key}.{inner}": item for inner, item in value.items()})
        else:
            found[key] = value
    return found


def _whole(fields: Flat) -> dict[str, Any]:
    body: dict[str, Any] = {}
    for field, value in fields.items():
        key, _, inner = field.partition(".")
        if inner:
            body.setdefault(key, {})[inner] = value
        else:
            body[field] = value
    return body


def chosen(fork: Fork, choice: Choice) -> dict[str, str]:
    """For each field in which the heads differ, the name of the head that it is taken from.

    Raises
    ------
    CallError
        If the words name no head or no such field, or leave fields open that several changed.
    """
    named = {_field(fork, field): _head(fork, word).name for field, word in choice.fields.items()}
    if choice.take:
        rest = dict.fromkeys((each.field for each in fork.fields), _head(fork, choice.take).name)
        return rest | named
    taken = {each.field: each.changed[0] for each in fork.fields if len(each.changed) == 1} | named
    left = [each.field for each in fork.fields if each.field not in taken]
    if left:
        several = f"{len(fork.heads)} people" if len(fork.heads) > 2 else "both"
        hint = f"say whose counts, as --field {left[0]}={fork.heads[0].name}"
        raise CallError(f"{several} changed {listed(left, 'and')}", hint=hint)
    return taken


def _field(fork: Fork, words: str) -> str:
    known = [each.field for each in fork.fields]
    if words in known:
        return words
    if not known:
        raise CallError(f"{fork.subject} differs in no field", hint="take either version")
    raise CallError(f"{quoted(words)} is no field that differs", hint=mend_word(words, known))


def _head(fork: Fork, word: str) -> Version:
    places = [Place(head.entry.id, head.number) for head in fork.heads]
    picked = naming.pick(places, word.partition("@")[2] or word, fork.subject)
    return next(head for head in fork.heads if head.entry.id == picked.id)


def body_of(fork: Fork, taken: Mapping[str, str]) -> dict[str, Any]:
    """The body that has each field from the head it is taken from.

    Raises
    ------
    CallError
        If what was chosen does not go together.
    """
    heads = {head.name: flat(head.entry.body) for head in fork.heads}
    fields = dict(next(iter(heads.values())))
    for field, name in taken.items():
        if field in heads[name]:
            fields[field] = heads[name][field]
        else:
            fields.pop(field, None)
    body = _whole(_without_lost_parts(fields))
    if wrong := record_fault(fork.kind, fork.subject, body):
        raise CallError(f"what was chosen does not go together: {wrong}")
    return body


def _without_lost_parts(fields: Flat) -> Flat:
    """Without what one head says of the adjusters and states of parts that the other took off."""
    if "parts" not in fields:
        return fields
    there = {part.get("name") or part["component"] for part in fields["parts"]}
    return {field: value for field, value in fields.items() if _part_of(field) in {None, *there}}


def _part_of(field: str) -> str | None:
    """The part that a field is about; None where it is about the whole."""
    key, _, inner = field.partition(".")
    if key == "settings" and "." in inner:
        return inner.partition(".")[0]
    return inner if key == "states" else None


def settle(log: Transaction, fork: Fork, taken: Mapping[str, str], author: str) -> Version:
    """Record a version that all heads are parents of."""
    draft = Draft(
        kind=fork.kind,
        subject=fork.subject,
        at=now(),
        author=author,
        body=body_of(fork, taken),
        parents=tuple(head.entry.id for head in fork.heads),
    )
    (entry,) = log.append([draft])
    return log.version_of(entry)
