"""Which entries of a log go into a bundle: all, those from some place on, or what a build needs."""

from __future__ import annotations

import json
from array import array
from typing import TYPE_CHECKING, Any

from riglog.logbook import derive

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from collections.abc import Set as AbstractSet

    from riglog.logbook.connection import Database

_ALL = "SELECT seq FROM entries WHERE seq > ? ORDER BY seq"
_IDS = "SELECT seq, id FROM entries WHERE seq > ?"
_FIRST_OF_DAY = "SELECT min(seq) FROM entries WHERE substr(at, 1, 10) >= ?"
_KINDS = """
WITH RECURSIVE each(kind) AS (
    SELECT min(kind) FROM versions
    UNION ALL
    SELECT (SELECT min(kind) FROM versions WHERE kind > each.kind) FROM each
    WHERE kind IS NOT NULL
)
SELECT kind FROM each WHERE kind IS NOT NULL"""
_OF_SUBJECT = """
SELECT e.seq, e.body FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = ? AND v.subject = ?"""
_NAMED = "SELECT seq, kind, parents, body FROM entries WHERE seq = ?"
_SEQ = "SELECT seq FROM entries WHERE id = ?"
_NOTES = "SELECT seq FROM entries WHERE kind = 'note' AND author <> ? ORDER BY seq DESC"
_CHILDREN = "SELECT child FROM edges WHERE parent = ?"


def after(database: Database, seq: int) -> array[int]:
    """Every entry behind a place in the log."""
    return array("q", (row[0] for row in database.each(_ALL, (seq,))))


def besides(
    database: Database, found: array[int], place: int, known: AbstractSet[bytes]
) -> array[int]:
    """Those behind a place in the log, but for entries with these ids, which are given as bytes."""
    if not known:
        return array("q", (seq for seq in found if seq > place))
    rows = database.each(_IDS, (place,))
    there = {seq for seq, each in rows if bytes.fromhex(each) in known}
    return array("q", (seq for seq in found if seq > place and seq not in there))


def before_day(database: Database, day: str) -> int:
    """The place in the log before the first entry of a day, or of a later one.

    Whatever came in behind it is new since that day, however old another machine's clock says it
    is: the log is in the order in which entries came here.
    """
    row = database.row(_FIRST_OF_DAY, (day,))
    if row and row[0]:
        return int(row[0]) - 1
    last = database.row("SELECT max(seq) FROM entries")
    return (last[0] if last else None) or 0


def of_builds(database: Database, builds: Iterable[str]) -> array[int]:
    """Builds with what they need, in the order of the log.

    That is every version of each, of its rig, of its components and of what those are like; what
    was read of the builds; what was said of any of these; and whatever these entries name.
    """
    kinds = [row[0] for row in database.rows(_KINDS)]
    chosen: set[int] = set()
    things, waiting = set(builds), list(builds)
    readings = set(things)
    while waiting:
        thing = waiting.pop()
        for kind in kinds:
            if kind == "reading" and thing not in readings:
                continue
            for seq, body in database.rows(_OF_SUBJECT, (kind, thing)):
                chosen.add(seq)
                for other in _things_of(kind, body) - things:
                    things.add(other)
                    waiting.append(other)
    return array("q", sorted(_closed(database, chosen)))


def _things_of(kind: str, body: str) -> set[str]:
    """What a build is made of, what a component is like, and what it was weighed on."""
    if kind not in {"build", "component", "measurement"}:
        return set()
    told = json.loads(body)
    other = told.get({"component": "like", "measurement": "scale"}.get(kind, ""))
    return derive.own_uses(kind, told) | ({other} if isinstance(other, str) else set())


def _closed(database: Database, chosen: set[int]) -> set[int]:
    """These entries, and all that they rest on."""
    found, waiting = set(chosen), sorted(chosen)
    while waiting:
        for name in _named(database.row(_NAMED, (waiting.pop(),))):
            row = database.row(_SEQ, (name,))
            if row and row[0] not in found:
                found.add(row[0])
                waiting.append(row[0])
    return found


def _named(row: tuple[Any, ...] | None) -> Iterator[str]:
    if row is None:
        return
    _, kind, parents, body = row
    yield from json.loads(parents)
    if version := derive.version_used(kind, json.loads(body)):
        yield version


def without_notes_of_others(database: Database, chosen: array[int], author: str) -> array[int]:
    """The same without notes of other people, except those that a chosen entry supersedes."""
    there = set(chosen)
    left_out: set[int] = set()
    # From the newest back: whether something still stands on a note is known when it is met.
    for (seq,) in database.rows(_NOTES, (author,)):
        children = {row[0] for row in database.rows(_CHILDREN, (seq,))}
        if not (children & there) - left_out:
            left_out.add(seq)
    return array("q", (seq for seq in chosen if seq not in left_out))
