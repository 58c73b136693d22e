"""Two heads that nobody settled: what to say, and how to name each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import ForkError, NotFoundError, listed, quoted
from riglog.logbook import apart

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.logbook import Entry, Reader, Version
    from riglog.logbook.entry import Body


def only_head(log: Reader, kind: str, name: str) -> Entry:
    """The newest version of a thing, by its exact id.

    Raises
    ------
    NotFoundError
        If there is no such thing.
    ForkError
        If it has two heads that cannot both be.
    """
    heads = log.heads(kind, name)
    if not heads:
        raise NotFoundError(f"there is no {kind} {quoted(name)}")
    if is_fork(heads):
        raise forked(log, heads)
    return newest(heads)


def is_fork(heads: Sequence[Entry]) -> bool:
    """Whether heads say what cannot both be; what two people weighed can."""
    return bool(heads) and apart.forked(heads[0].kind, _bodies(heads))


def differ(heads: Sequence[Entry]) -> bool:
    """Whether heads say different things, be it that each was weighed."""
    return bool(heads) and apart.differ(_bodies(heads))


def weighed_apart(heads: Sequence[Entry]) -> bool:
    """Whether heads are of a component that several people weighed, and differ in nothing else."""
    return bool(heads) and apart.weighed_apart(heads[0].kind, _bodies(heads))


def _bodies(heads: Sequence[Entry]) -> list[Body]:
    return [head.body for head in heads]


def newest(heads: Sequence[Entry]) -> Entry:
    """One of several heads: the same one on every machine, in whatever order they came."""
    return min(heads, key=lambda head: head.id)


def forked(log: Reader, heads: Sequence[Entry]) -> ForkError:
    """What to raise where one head is wanted and a thing has several."""
    versions = listed([version_words(log.version_of(head)) for head in heads])
    subject, kind = heads[0].subject, heads[0].kind
    message = f"{subject} has {len(heads)} newest versions, and nobody settled which counts"
    told = "name one of them" if kind == "build" else "they are"
    return ForkError(message, hint=f"{told}: {versions}; to settle it: riglog settle {subject}")


def version_words(version: Version) -> str:
    """``a-cam@3.ab12 (kim, 2026-03-14)``."""
    entry = version.entry
    return f"{entry.subject}@{version.name} ({entry.author}, {entry.at[:10]})"
