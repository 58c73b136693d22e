"""Two heads made one: which fields differ, who changed what, and the body that was chosen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from riglog.errors import CallError, NoAnswerError, listed, mend_word, quoted
from riglog.library import joining
from riglog.library.correcting import faults
from riglog.library.foreign import record_fault
from riglog.logbook import Draft, now
from riglog.logbook import versions as naming
from riglog.logbook.versions import Place

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from riglog.logbook import Reader, Transaction, Version
    from riglog.logbook.entry import Body

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
    of them changed from that one, and with ``take`` the rest from there.
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
    contents = [head.entry.body for head in heads]
    origin = base.entry.body if base else {}
    whole = joining.not_in_all(contents)
    bodies, before = [joining.flat(each, whole) for each in contents], joining.flat(origin, whole)
    # Nobody can have changed alone what was not there before, or where another part was put.
    contested = joining.rivals(contents, origin) | _new_to_all(contents, origin)
    for field in dict.fromkeys(key for body in bodies for key in body):
        values = [body.get(field, _MISSING) for body in bodies]
        if any(value != values[0] for value in values):
            was = before.get(field, _MISSING)
            by_all = joining.item_of(field) in contested
            said = zip(heads, values, strict=True)
            yield Differing(field, tuple(head.name for head, v in said if by_all or v != was))


def _new_to_all(contents: Sequence[Body], origin: Body) -> set[str]:
    """Parts and adjusters that every head has and that were not there before."""
    first, *others = (set(joining.items(each)) for each in contents)
    return first.intersection(*others) - set(joining.items(origin))


def chosen(fork: Fork, choice: Choice) -> dict[str, str]:
    """For each field in which the heads differ, the name of the head that it is taken from.

    Raises
    ------
    CallError
        If the words name no head or no such field, or leave fields open that several changed.
    """
    named = {
        field: _head(fork, choice.fields[words]).name
        for words in sorted(choice.fields, key=len)
        for field in _fields(fork, words)
    }
    alone = {each.field: each.changed[0] for each in fork.fields if len(each.changed) == 1}
    if choice.take:
        rest = dict.fromkeys((each.field for each in fork.fields), _head(fork, choice.take).name)
        return rest | (alone if choice.join else {}) | named
    taken = alone | named
    left = [each.field for each in fork.fields if each.field not in taken]
    if left:
        several = f"{len(fork.heads)} people" if len(fork.heads) > 2 else "both"
        ways = " ".join(f"--field {each}={fork.heads[0].name}" for each in left)
        hint = f"say whose counts, as {ways}"
        raise CallError(f"{several} changed {listed(left, 'and')}", hint=hint)
    return taken


def _fields(fork: Fork, words: str) -> list[str]:
    """The field that words name, or all fields of the part, or of the list, that they name."""
    known = [each.field for each in fork.fields]
    if found := [field for field in known if field == words or field.startswith(f"{words}.")]:
        return found
    if not known:
        raise CallError(f"{fork.subject} differs in no field", hint="take either version")
    raise CallError(f"{quoted(words)} is no field that differs", hint=mend_word(words, known))


def _head(fork: Fork, word: str) -> Version:
    places = [Place(head.entry.id, head.number) for head in fork.heads]
    picked = naming.pick(places, word.partition("@")[2] or word, fork.subject)
    return next(head for head in fork.heads if head.entry.id == picked.id)


def body_of(log: Reader, fork: Fork, taken: Mapping[str, str]) -> dict[str, Any]:
    """The body that has each field from the head it is taken from.

    Raises
    ------
    CallError
        If what was chosen does not go together.
    """
    whole = joining.not_in_all([head.entry.body for head in fork.heads])
    heads = {head.name: joining.flat(head.entry.body, whole) for head in fork.heads}
    fields = dict(next(iter(heads.values())))
    for field, name in taken.items():
        if field in heads[name]:
            fields[field] = heads[name][field]
        else:
            fields.pop(field, None)
    if fork.kind == "build":
        fields = joining.without_lost_parts(fields)
    body = joining.folded(fields)
    _refuse_what_does_not_fit(log, fork, body)
    return body


def _refuse_what_does_not_fit(log: Reader, fork: Fork, body: dict[str, Any]) -> None:
    contents = [head.entry.body for head in fork.heads]
    if body in contents:
        return  # as somebody recorded it
    unfit = "what was chosen does not go together"
    if wrong := record_fault(fork.kind, fork.subject, body):
        raise CallError(f"{unfit}: {wrong}")
    for part, owner in joining.in_the_air(body):
        having, lacking = _by_part(fork, owner)
        raise CallError(
            f"{unfit}: {part} sits on {owner}, which is not there",
            hint=f"say whose counts, as --field parts.{owner}={having}, or"
            f" --field parts.{part}={lacking}",
        )
    known = {each.message for content in contents for each in faults(log, fork.kind, content)}
    for fault in faults(log, fork.kind, body):
        if fault.message not in known:
            raise CallError(f"{unfit}: {fault.message}", hint=fault.mend)


def _by_part(fork: Fork, part: str) -> tuple[str, str]:
    """A head that has a part, and one that has not."""
    there = {f"parts.{part}" in joining.items(each.entry.body): each.name for each in fork.heads}
    return there.get(True, fork.heads[0].name), there.get(False, fork.heads[0].name)


def settle(log: Transaction, fork: Fork, taken: Mapping[str, str], author: str) -> Version:
    """Record a version that all heads are parents of."""
    draft = Draft(
        kind=fork.kind,
        subject=fork.subject,
        at=now(),
        author=author,
        body=body_of(log, fork, taken),
        parents=tuple(head.entry.id for head in fork.heads),
    )
    (entry,) = log.append([draft])
    return log.version_of(entry)
