"""Notes, tags and names into the log."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.logbook import Draft, Entry, now
from riglog.records import to_body
from riglog.records.stand import Stand

if TYPE_CHECKING:
    from collections.abc import Iterable

    from riglog.library.standing import Standing
    from riglog.library.targets import Target
    from riglog.logbook import Transaction, Version
    from riglog.logbook.entry import Body


class Kept(NamedTuple):
    """What says something of a thing, and whether it had been said before."""

    entry: Entry
    new: bool


def say(
    log: Transaction,
    kind: str,
    target: Target,
    body: Body,
    author: str,
    parents: Iterable[str] = (),
) -> Kept:
    """Record what an author says of a target, unless the same was said before and counts."""
    about = {} if target.entry is None else {"entry": target.entry.id}
    whole = {**body, **about}
    for there in log.heads(kind, target.subject):
        # A tag is a tag, whoever says so; two people who note the same words are two witnesses.
        if there.body == whole and (kind == "tag" or there.author == author):
            return Kept(there, new=False)
    (entry,) = log.append([_draft(kind, target.subject, whole, author, parents)])
    return Kept(entry, new=True)


def name(
    log: Transaction, version: Version, standing: Standing | None, called: str, author: str
) -> tuple[Kept, list[Entry]]:
    """Name a version, of a build as it stands; what the name was for before is superseded."""
    subject = version.entry.subject
    body: dict[str, object] = {"name": called, "entry": version.entry.id}
    if standing is not None:
        body["stand"] = to_body(stand_of(standing))
    before = [each for each in log.heads("name", subject) if each.body["name"] == called]
    if len(before) == 1 and before[0].body == body:
        return Kept(before[0], new=False), []
    parents = [each.id for each in before]
    (entry,) = log.append([_draft("name", subject, body, author, parents)])
    return Kept(entry, new=True), before


def stand_of(standing: Standing) -> Stand:
    """How a build stands, as entries hold it."""
    return Stand(
        version=standing.entry,
        settings=standing.settings,
        states=standing.states,
        head=standing.head,
    )


def _draft(kind: str, subject: str, body: Body, author: str, parents: Iterable[str]) -> Draft:
    return Draft(
        kind=kind, subject=subject, at=now(), author=author, body=body, parents=tuple(parents)
    )
