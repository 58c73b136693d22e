"""What an undo reverses, and how: planned first, so that somebody can see it, then recorded."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from riglog.errors import CallError, ForkError, NoAnswerError, NotFoundError, listed
from riglog.library.forks import differ, only_head
from riglog.library.remarks import stand_of
from riglog.library.reversing import changed_fields, reversed_body
from riglog.library.standing import where
from riglog.logbook import NOUNS, Draft, Entry, now
from riglog.records import to_body

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.logbook import Reader, Transaction
    from riglog.logbook.entry import Body

How = Literal["leave out", "bring back", "go back"]
_RECENT = 1000


class Reversal(NamedTuple):
    """What is reversed and how.

    ``how`` is: leave out what counts no longer; bring back what was left out; go back to another
    content, of which ``body`` is the whole, ``changed`` the fields and ``head`` what it supersedes.
    ``reverses`` are the ids that the undo names. ``back`` are entries that count again.
    """

    entry: Entry
    how: How
    reverses: tuple[str, ...]
    back: tuple[Entry, ...] = ()
    heads: tuple[Entry, ...] = ()
    body: Body | None = None
    changed: tuple[str, ...] = ()


def plan(log: Reader, entry: Entry) -> Reversal:
    """How an entry is reversed.

    Raises
    ------
    NoAnswerError
        If it was undone already, or other entries rest on it.
    ForkError
        If others made two heads from it.
    """
    _refuse_undone(log, entry)
    if entry.kind == "undo":
        made = [child for child in log.children(entry.id) if child.kind in NOUNS]
        return plan(log, made[0]) if made else _bring_back(log, entry)
    if entry.kind in NOUNS:
        return _of_version(log, entry)
    return _leave_out(log, entry)


def _refuse_undone(log: Reader, entry: Entry) -> None:
    if undos := log.about(entry.id, "undo"):
        who = f"{undos[-1].author} undid it {undos[-1].at[:16].replace('T', ' ')}"
        hint = f"riglog undo {undos[-1].id[:8]} brings it back"
        raise NoAnswerError(f"{_called(log, entry)} is undone already: {who}", hint=hint)


def _called(log: Reader, entry: Entry) -> str:
    if entry.kind in NOUNS:
        return f"{entry.subject}@{log.version_of(entry).name}"
    return f"the {entry.kind} {entry.id[:8]} of {entry.subject}"


def _leave_out(log: Reader, entry: Entry) -> Reversal:
    """It counts no longer; what it superseded does again, unless others supersede that."""
    if log.children(entry.id) and not log.counts(entry):
        last = log.children(entry.id)[-1]
        hint = f"riglog undo {last.id[:8]} undoes that"
        raise NoAnswerError(f"{_called(log, entry)} was corrected since", hint=hint)
    return Reversal(entry, "leave out", (entry.id,), tuple(_back(log, entry)))


def _back(log: Reader, entry: Entry) -> Iterator[Entry]:
    for parent in map(log.entry, entry.parents):
        others = [child for child in log.children(parent.id) if child.id != entry.id]
        if not any(_counts_or_passes(log, child) for child in others):
            yield parent


def _counts_or_passes(log: Reader, entry: Entry) -> bool:
    if not log.undone(entry.id):
        return True
    return any(_counts_or_passes(log, child) for child in log.children(entry.id))


def _bring_back(log: Reader, entry: Entry) -> Reversal:
    """Whatever undoes the same is undone with it: two people may have undone it apart."""
    targets = entry.body["reverses"]
    undos = {undo.id: None for target in targets for undo in log.about(target, "undo")}
    back = tuple(each for target in targets for each in _here(log, target))
    return Reversal(entry, "bring back", tuple(undos), back)


def _here(log: Reader, entry_id: str) -> Iterator[Entry]:
    try:
        yield log.entry(entry_id)
    except NotFoundError:
        return  # not merged in yet


def _of_version(log: Reader, entry: Entry) -> Reversal:
    parents = [log.entry(parent) for parent in entry.parents]
    before = [each for each in parents if each.kind == entry.kind]
    reverses = (entry.id, *(each.id for each in parents if each.kind == "undo"))
    heads = tuple(log.heads(entry.kind, entry.subject))
    if entry in heads and (len(before) != 1 or differ(heads)):
        return _leave_version_out(log, entry, before, heads)
    if len(before) != 1:
        hint = "undo those first, newest first"
        raise NoAnswerError(f"{_called(log, entry)} has later versions", hint=hint)
    head = only_head(log, entry.kind, entry.subject)
    body = reversed_body(head, entry, before[0], lambda each: _called(log, each))
    if entry in heads:
        body = _as_it_stood(log, before[0], body)
    changed = changed_fields(head.body, body)
    if not changed:
        raise NoAnswerError(f"{_called(log, entry)} changed nothing that is still there")
    return Reversal(entry, "go back", reverses, (before[0],), heads, body, changed)


def _leave_version_out(
    log: Reader, entry: Entry, before: Sequence[Entry], heads: Sequence[Entry]
) -> Reversal:
    """A first version, one of two heads, or what settled a fork."""
    forked = differ(heads)
    if not before and forked:
        message = f"{entry.subject} began twice, apart from each other"
        raise ForkError(message, hint=f"to settle it: riglog settle {entry.subject}")
    if not before:
        _refuse_used(log, entry)
        # One document recorded on two machines makes two that say the same.
        return Reversal(entry, "leave out", tuple(head.id for head in heads))
    return Reversal(entry, "leave out", (entry.id,), () if forked else tuple(before))


def _as_it_stood(log: Reader, before: Entry, body: Body) -> Body:
    """A build as it stood last: readings of the version before may have moved it since."""
    if before.kind != "build":
        return body
    version = log.version_of(before)
    standing = where(version, log.readings_of(before.subject, versions=version.ids))
    stood = to_body(stand_of(standing))
    kept = {key: value for key, value in body.items() if key not in {"settings", "states", "head"}}
    return kept | {key: value for key, value in stood.items() if key != "version" and value}


def _refuse_used(log: Reader, entry: Entry) -> None:
    """A thing that was added by mistake can go while nothing is built with it."""
    if users := log.builds_using(entry.subject, limit=3):
        on = listed([each.subject for each in users], "and")
        hint = "take it off first, or undo that build"
        raise NoAnswerError(f"{entry.subject} is part of {on}", hint=hint)


def record(log: Transaction, reversal: Reversal, author: str, why: str = "") -> list[Entry]:
    """Record an undo, and the version that it makes."""
    body = {"reverses": list(reversal.reverses), **({"note": why} if why else {})}
    entry = reversal.entry
    undo = Draft(kind="undo", subject=entry.subject, at=now(), author=author, body=body)
    drafts = [undo]
    if reversal.body is not None:
        parents = (*(head.id for head in reversal.heads), undo.envelope.id)
        drafts.append(
            Draft(
                kind=entry.kind, subject=entry.subject, at=now(), author=author,
                body=reversal.body, parents=parents,
            )
        )  # fmt: skip
    return log.append(drafts)


def _is_undone(log: Reader, entry: Entry) -> bool:
    """Whether an entry is undone, or came of an undo."""
    parents = map(log.entry, entry.parents)
    return log.undone(entry.id) or any(parent.kind == "undo" for parent in parents)


def last_of(log: Reader, author: str) -> Entry:
    """The last thing that somebody recorded and did not undo, other than an undo.

    Raises
    ------
    CallError
        If there is none among the newest entries.
    """
    for entry in log.recent(_RECENT):
        if entry.author == author and entry.kind != "undo" and not _is_undone(log, entry):
            return entry
    raise CallError(f"{author} recorded nothing lately", hint="name what to undo, by its entry")
