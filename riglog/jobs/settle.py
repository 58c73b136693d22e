"""`settle`: one version of what several people changed apart from each other."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, quoted
from riglog.library.fields import noun_of
from riglog.library.forks import weighed_apart
from riglog.library.settling import Choice, body_of, chosen, fork_of, settle

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.library import Library
    from riglog.library.settling import Fork
    from riglog.logbook import Version
    from riglog.records import Build, Component, Rig


class Side(NamedTuple):
    """A head: what people call it, its entry, who recorded it and when, and what it says."""

    name: str
    entry: str
    author: str
    at: str
    noun: Component | Rig | Build


class Split(NamedTuple):
    """A field in which heads differ.

    ``changed`` names those that changed it since the version that all came from. ``taken`` is the
    head it is taken from; None as long as nobody chose.
    """

    field: str
    changed: tuple[str, ...]
    taken: str | None


class SettleAnswer(NamedTuple):
    """A fork, and the version that settles it.

    ``base`` is the newest version that all heads came from. ``weighed`` says that they differ in
    nothing but what was weighed. ``name`` and ``entry`` are those of the new version, None where
    nothing was recorded.
    """

    kind: str
    id: str
    heads: tuple[Side, ...]
    base: str | None
    fields: tuple[Split, ...]
    weighed: bool
    dry_run: bool
    name: str | None
    entry: str | None


def parse_fields(words: Sequence[str]) -> dict[str, str]:
    """What ``FIELD=VERSION`` says.

    Raises
    ------
    CallError
        If it is written in another way, or names a field twice.
    """
    found: dict[str, str] = {}
    for each in words:
        field, equals, version = each.partition("=")
        if not equals or not field or not version:
            raise CallError(f"{quoted(each)} names no version", hint="write FIELD=VERSION")
        if field in found:
            raise CallError(f"{field} is chosen twice", hint="keep one of them")
        found[field] = version
    return found


def settle_fork(
    library: Library, words: str, choice: Choice, *, dry_run: bool = False
) -> SettleAnswer:
    """Show a fork; where something was chosen, settle it.

    Raises
    ------
    CallError, NotFoundError, AmbiguousError
        If the words name no thing, head or field, or leave something open.
    NoAnswerError
        If there is no fork.
    """
    log = library.logbook
    thing = library.resolve(None, words)
    kind = log.kind_of(thing) or ""
    if not choice.made:
        return _answer(fork_of(log, kind, thing), {}, None, dry_run=True)
    if dry_run:
        fork = fork_of(log, kind, thing)
        taken = chosen(fork, choice)
        body_of(log, fork, taken)
        return _answer(fork, taken, None, dry_run=True)
    with log.writing() as transaction:
        fork = fork_of(transaction, kind, thing)
        taken = chosen(fork, choice)
        return _answer(fork, taken, settle(transaction, fork, taken, library.author))


def _answer(
    fork: Fork, taken: dict[str, str], version: Version | None, *, dry_run: bool = False
) -> SettleAnswer:
    return SettleAnswer(
        kind=fork.kind,
        id=fork.subject,
        heads=tuple(map(_side, fork.heads)),
        base=fork.base.name if fork.base else None,
        fields=tuple(Split(*each, taken.get(each.field)) for each in fork.fields),
        weighed=weighed_apart([head.entry for head in fork.heads]),
        dry_run=dry_run,
        name=version.name if version else None,
        entry=version.entry.id if version else None,
    )


def _side(head: Version) -> Side:
    entry = head.entry
    return Side(head.name, entry.id, entry.author, entry.at, noun_of(entry))
