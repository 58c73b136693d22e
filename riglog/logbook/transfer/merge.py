"""Taking in what lies staged: a set union by id, which loses nothing and can be done again.

What a merge does is worked out before anything is written, and from the entries alone, so that a
dry run tells the same. Parents come before children, whatever order their sources had.
"""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from contextlib import contextmanager
from graphlib import TopologicalSorter
from itertools import starmap
from typing import TYPE_CHECKING, NamedTuple

from riglog.logbook.apart import differ, weighed_apart
from riglog.logbook.entry import Envelope
from riglog.logbook.filing import file_after
from riglog.logbook.reads import NOUNS
from riglog.logbook.rows import damaged, intact
from riglog.logbook.versions import Place, names

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

    from riglog.logbook.connection import Database
    from riglog.logbook.entry import Body
    from riglog.logbook.transfer.staging import Source, Staged

_COUNTS = """
SELECT s.source, s.kind, s.author, count(*) FROM staging.staged AS s
GROUP BY 1, 2, 3"""
_NOUNS = """
SELECT s.kind, s.subject, s.id, s.author, s.at, s.parents FROM staging.staged AS s
WHERE s.kind IN ('component', 'rig', 'build', 'scale') ORDER BY s.place"""
_HEADS = """
SELECT e.id, e.author, e.at FROM main.versions AS v JOIN main.entries AS e ON e.seq = v.entry
WHERE v.kind = ? AND v.subject = ? AND v.superseded = 0"""
_NUMBERS = """
SELECT e.id, v.number FROM main.versions AS v JOIN main.entries AS e ON e.seq = v.entry
WHERE v.kind = ? AND v.subject = ?"""
_KINDS = "SELECT DISTINCT kind FROM main.versions WHERE kind IN (?, ?, ?, ?) AND subject = ?"
_ROW = """
SELECT seq, kind, subject, at, author, parents, body FROM main.entries WHERE id = :id
UNION ALL
SELECT place, kind, subject, at, author, parents, body FROM staging.staged WHERE id = :id"""
_AHEAD = """
SELECT count(*), max(s.at) FROM staging.staged AS s
WHERE julianday(s.at) > julianday(?) + 1.0 / 24"""
_LONG_AGO = """
SELECT count(*), min(s.at) FROM staging.staged AS s WHERE s.at < '2000'"""
_BEHIND = """
SELECT count(*), min(s.at) FROM staging.staged AS s
WHERE s.parents <> '[]' AND EXISTS (
    SELECT 1 FROM json_each(s.parents) AS p WHERE julianday(s.at) + 1.0 / 24 < julianday(coalesce(
        (SELECT at FROM staging.staged WHERE id = p.value),
        (SELECT at FROM main.entries WHERE id = p.value)
    ))
)"""
# What an entry comes after: its parents, and a reading its version of the build.
_LINKS = """
SELECT c.place, p.place FROM (
    SELECT s.place, n.value AS after FROM staging.staged AS s CROSS JOIN json_each(s.parents) AS n
    WHERE s.parents <> '[]'
    UNION ALL
    SELECT place, body ->> '$.stand.version' FROM staging.staged WHERE kind = 'reading'
) AS c CROSS JOIN staging.staged AS p ON p.id = c.after"""
_OUT_OF_ORDER = f"SELECT EXISTS ({_LINKS} WHERE p.place > c.place)"
# What was new when it was staged may have come in from elsewhere meanwhile.
_PLACES = """
SELECT s.place FROM staging.staged AS s
WHERE NOT EXISTS (SELECT 1 FROM main.entries WHERE id = s.id) ORDER BY s.place"""
_LAST = "SELECT max(seq) FROM main.entries"
_INSERT_ALL = """
INSERT INTO main.entries (id, kind, subject, at, author, parents, body)
SELECT s.id, s.kind, s.subject, s.at, s.author, s.parents, s.body FROM staging.staged AS s
WHERE NOT EXISTS (SELECT 1 FROM main.entries WHERE id = s.id) ORDER BY s.place"""
_TAKEN = """
SELECT (SELECT count(*) FROM main.entries WHERE seq > ?), (SELECT count(*) FROM staging.staged)"""
_ALTERED = """
SELECT e.seq FROM staging.staged AS s CROSS JOIN main.entries AS e ON e.id = s.id
WHERE (e.kind, e.subject, e.at, e.author, e.parents, e.body)
    <> (s.kind, s.subject, s.at, s.author, s.parents, s.body) ORDER BY e.seq LIMIT 1"""
_INSERT_ONE = """
INSERT INTO main.entries (id, kind, subject, at, author, parents, body)
SELECT id, kind, subject, at, author, parents, body FROM staging.staged WHERE place = ?"""


class Taken(NamedTuple):
    """What one source brings: how many entries it has, and how many of them are new."""

    source: Source
    new: int


class Head(NamedTuple):
    """A newest version of a thing: its entry, who recorded it when, and what it will be called."""

    id: str
    author: str
    at: str
    name: str = ""


class Fork(NamedTuple):
    """A thing that has several newest versions once all is taken in, which say different things."""

    kind: str
    subject: str
    heads: tuple[Head, ...]


class Clash(NamedTuple):
    """An id that two people gave to things of different kinds."""

    subject: str
    kinds: tuple[str, ...]


class Odd(NamedTuple):
    """How many new entries have a time that cannot be right, and the oddest of those times."""

    entries: int
    at: str


class Plan(NamedTuple):
    """What a merge brings. ``kinds`` and ``authors`` count the new entries.

    ``weighed`` are components that several people weighed, and that differ in nothing else.
    """

    sources: tuple[Taken, ...]
    kinds: Mapping[str, int]
    authors: Mapping[str, int]
    forks: tuple[Fork, ...]
    weighed: tuple[Fork, ...]
    clashes: tuple[Clash, ...]
    ahead: Odd | None
    long_ago: Odd | None
    behind: Odd | None

    @property
    def new(self) -> int:
        """How many entries are new."""
        return sum(self.kinds.values())


@contextmanager
def vouched(database: Database, staged: Staged) -> Iterator[None]:
    """Refuse, once the block was done, what is not sound; if the block failed, that is why.

    Raises
    ------
    DocumentError
        With all that is wrong.
    """
    try:
        yield
    except Exception:
        staged.check(database)
        raise
    staged.check(database)


@contextmanager
def beside(database: Database, staged: Staged) -> Iterator[None]:
    """Read what is staged in the same queries as the library.

    What follows from entries is made out of entries that are there, and needs no looking up again.
    """
    database.attach(staged.path, "staging")
    database.run("PRAGMA foreign_keys=OFF")
    try:
        yield
    finally:
        database.run("PRAGMA foreign_keys=ON")
        database.run("DETACH staging")


def plan(database: Database, staged: Staged, now: str) -> Plan:
    """What taking all that in brings."""
    by_source, kinds, authors = Counter[int](), Counter[str](), Counter[str]()
    for source, kind, author, count in database.rows(_COUNTS):
        by_source[source] += count
        kinds[kind] += count
        authors[author] += count
    forks, weighed, clashes = _conflicts(database)
    return Plan(
        sources=tuple(Taken(each, by_source[n]) for n, each in enumerate(staged.sources)),
        kinds=dict(kinds.most_common()),
        authors=dict(authors.most_common()),
        forks=tuple(forks),
        weighed=tuple(weighed),
        clashes=tuple(clashes),
        ahead=_odd(database.row(_AHEAD, (now,))),
        long_ago=_odd(database.row(_LONG_AGO)),
        behind=_odd(database.row(_BEHIND)),
    )


def _odd(row: tuple[int, str] | None) -> Odd | None:
    return Odd(*row) if row and row[0] else None


def _conflicts(database: Database) -> tuple[list[Fork], list[Fork], list[Clash]]:
    """Things forked afterwards, those weighed apart, and ids of things of several kinds."""
    brought: dict[tuple[str, str], dict[str, Head]] = defaultdict(dict)
    superseded: set[str] = set()
    for kind, subject, entry_id, author, at, parents in database.each(_NOUNS):
        brought[kind, subject][entry_id] = Head(entry_id, author, at)
        superseded.update(json.loads(parents))
    found: dict[tuple[str, str], list[Head]] = {}
    weighed: set[tuple[str, str]] = set()
    for (kind, subject), new in brought.items():
        old = {row[0]: Head(*row) for row in database.rows(_HEADS, (kind, subject))}
        heads = [head for name, head in {**old, **new}.items() if name not in superseded]
        bodies = [_body(database, head.id) for head in heads] if len(heads) > 1 else [{}]
        if differ(bodies):
            found[kind, subject] = sorted(heads)
        if weighed_apart(kind, bodies):
            weighed.add((kind, subject))
    named = _named(database, found)
    told = {
        thing: Fork(*thing, tuple(head._replace(name=named[thing][head.id]) for head in heads))
        for thing, heads in sorted(found.items())
    }
    forks = [fork for thing, fork in told.items() if thing not in weighed]
    return forks, [told[thing] for thing in sorted(weighed)], sorted(_clashes(database, brought))


def _named(
    database: Database, things: Collection[tuple[str, str]]
) -> dict[tuple[str, str], dict[str, str]]:
    """What every version of some things will be called, by their entries' ids."""
    if not things:
        return {}
    rests: dict[tuple[str, str], dict[str, list[str]]] = {thing: {} for thing in things}
    for kind, subject, entry_id, _, _, parents in database.each(_NOUNS):
        if (kind, subject) in rests:
            rests[kind, subject][entry_id] = json.loads(parents)
    return {
        thing: names(starmap(Place, _numbers(dict(database.rows(_NUMBERS, thing)), new).items()))
        for thing, new in rests.items()
    }


def _numbers(known: dict[str, int], new: Mapping[str, Sequence[str]]) -> dict[str, int]:
    """Numbers of all versions of a thing: 1 + the longest chain of what each one rests on."""
    for entry_id in TopologicalSorter(new).static_order():
        if entry_id in new and entry_id not in known:
            known[entry_id] = 1 + max((known.get(each, 0) for each in new[entry_id]), default=0)
    return known


def _body(database: Database, entry_id: str) -> Body:
    """What an entry says. Where its id does not fit, the fork that it seems to make is none."""
    row = database.row(_ROW, {"id": entry_id})
    text = intact(row[0], entry_id, Envelope(*row[1:])).body if row else "{}"
    body: Body = json.loads(text)
    return body


def _clashes(database: Database, brought: Iterable[tuple[str, str]]) -> Iterator[Clash]:
    kinds: dict[str, set[str]] = defaultdict(set)
    for kind, subject in brought:
        kinds[subject].add(kind)
    for subject, found in kinds.items():
        found.update(row[0] for row in database.rows(_KINDS, (*NOUNS, subject)))
        if len(found) > 1:
            yield Clash(subject, tuple(sorted(found)))


def take_in(database: Database) -> None:
    """Append what is staged and new, within a write.

    Raises
    ------
    LibraryError
        If one of them is here already, and is not what was recorded.
    """
    row = database.row(_LAST)
    last = (row[0] if row else None) or 0
    if database.rows(_OUT_OF_ORDER) == [(0,)]:
        database.run(_INSERT_ALL)
    else:
        for place in _in_order(database):
            database.run(_INSERT_ONE, (place,))
    taken, staged = database.rows(_TAKEN, (last,))[0]
    # Fewer came in meanwhile from elsewhere; or they are here, and say something else.
    if taken < staged and (altered := database.row(_ALTERED)):
        raise damaged(altered[0])
    file_after(database, last)


def _in_order(database: Database) -> list[int]:
    """Places of the new entries, each after those that it rests on."""
    depths = _depths(database)
    places = [row[0] for row in database.rows(_PLACES)]
    return sorted(places, key=lambda place: (depths.get(place, 0), place))


def _depths(database: Database) -> dict[int, int]:
    """How long the longest chain is on which an entry rests, for each that rests on some."""
    rests: dict[int, set[int]] = defaultdict(set)
    for child, parent in database.each(_LINKS):
        rests[child].add(parent)
    depths: dict[int, int] = {}
    for place in TopologicalSorter(rests).static_order():
        depths[place] = 1 + max((depths[each] for each in rests.get(place, ())), default=-1)
    return depths
