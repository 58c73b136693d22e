"""Many entries made findable at once: what ``index`` does for one, in whole tables where it can be.

The entries were found sound before, so their bodies are what ``derive`` expects of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.logbook import derive, texts
from riglog.logbook.effects import Effects, undos_first
from riglog.logbook.index import without_parent
from riglog.logbook.rows import entry_of

if TYPE_CHECKING:
    from riglog.logbook.connection import Database

# What most entries are: the first of their thing.
_FIRSTS = """
INSERT INTO versions (kind, subject, superseded, entry, number)
SELECT kind, subject, 0, seq, 1 FROM entries WHERE seq > ? AND parents = '[]'"""
_DAYS = """
INSERT INTO days (day, entry)
SELECT substr(CASE WHEN kind = 'reading' AND json_type(body, '$.on') = 'text'
    THEN body ->> '$.on' ELSE at END, 1, 10), seq
FROM entries WHERE seq > ?"""
# A reading uses what its version of the build does. Sorted, rows go to the end of their thing's.
_USES = """
INSERT INTO uses (component, entry)
WITH taken (seq, version) AS MATERIALIZED (
    SELECT seq, id FROM entries WHERE seq > :after AND kind = 'build'
    UNION ALL
    SELECT seq, body ->> '$.stand.version' FROM entries WHERE seq > :after AND kind = 'reading'
), versions_used (version, body) AS MATERIALIZED (
    SELECT id, body FROM entries
    WHERE id IN (SELECT version FROM taken) AND kind = 'build'
), used (version, thing) AS MATERIALIZED (
    SELECT version, body ->> '$.rig' FROM versions_used
    UNION
    SELECT version, p.value ->> '$.component'
    FROM versions_used CROSS JOIN json_each(body, '$.parts') AS p
)
SELECT used.thing, taken.seq FROM taken CROSS JOIN used ON used.version = taken.version
WHERE used.thing IS NOT NULL ORDER BY 1, 2"""
_LATER = """
SELECT e.seq, e.kind, e.subject, n.value, p.kind, p.subject, p.seq, v.number
FROM entries AS e CROSS JOIN json_each(e.parents) AS n
LEFT JOIN entries AS p ON p.id = n.value
LEFT JOIN versions AS v
    ON v.kind = p.kind AND v.subject = p.subject AND v.superseded IN (0, 1) AND v.entry = p.seq
WHERE e.seq > ? AND e.parents <> '[]' ORDER BY e.seq"""
_VERSION = """
INSERT INTO versions (kind, subject, superseded, entry, number) VALUES (?, ?, 0, ?, ?)"""
_EDGE = "INSERT INTO edges (parent, child) VALUES (?, ?)"
_PASSED = """
UPDATE versions SET superseded = 1
WHERE kind = ? AND subject = ? AND superseded = 0 AND entry = ?"""
_ANY_UNDO = "SELECT EXISTS (SELECT 1 FROM versions WHERE kind = 'undo')"
_SAYING = """
SELECT * FROM entries WHERE seq > ? AND kind IN ('note', 'tag', 'name') ORDER BY seq"""
# Those that an undo touches: itself, what it reverses, and what came from anything.
_TOUCHED = """
SELECT * FROM entries AS e WHERE seq > ? AND (
    parents <> '[]' OR kind IN ('note', 'tag', 'name', 'undo')
    OR EXISTS (SELECT 1 FROM about WHERE target = e.id AND kind = 'undo')
) ORDER BY seq"""


class _Link(NamedTuple):
    """An entry and one that it supersedes; ``number`` of that one, if it was filed before."""

    child: int
    kind: str
    subject: str
    named: str
    parent_kind: str
    parent_subject: str
    parent: int | None
    number: int | None


def file_after(database: Database, place: int) -> None:
    """File all entries behind a place in the log, in which parents come before children.

    Raises
    ------
    NotFoundError
        If a parent is neither filed nor among them, before its child.
    """
    database.run(_FIRSTS, (place,))
    links = [_Link(*row) for row in database.rows(_LATER, (place,))]
    _place(database, links)
    _tell_effects(database, links, place)
    database.run(_DAYS, (place,))
    database.run(_USES, {"after": place})
    texts.fill(database, "words (rowid, text)", "entries", place)


def _place(database: Database, links: list[_Link]) -> None:
    """Number what supersedes something: one more than the longest chain of its parents."""
    numbers: dict[int, int] = {}
    for link in links:
        above = numbers.get(link.parent or 0, link.number)
        if link.parent is None or above is None:
            raise without_parent(link.subject, link.named)
        numbers[link.child] = max(numbers.get(link.child, 0), above + 1)
    named = {link.child: (link.kind, link.subject) for link in links}
    versions = [(*named[child], child, number) for child, number in numbers.items()]
    database.run_many(_EDGE, [(link.parent, link.child) for link in links])
    database.run_many(_VERSION, versions)


def _tell_effects(database: Database, links: list[_Link], place: int) -> None:
    """Note which entries count, now that these are there."""
    effects = Effects(database)
    if database.rows(_ANY_UNDO) == [(0,)]:
        passed = {(link.parent_kind, link.parent_subject, link.parent) for link in links}
        database.run_many(_PASSED, passed)
        for row in database.rows(_SAYING, (place,)):
            effects.file(entry_of(row), ())
        return
    parents: dict[int, list[int]] = {}
    for link in links:
        parents.setdefault(link.child, []).append(link.parent or 0)
    touched = [entry_of(row) for row in database.rows(_TOUCHED, (place,))]
    undos = {each.id: each for each in touched if each.kind == "undo"}
    first = undos_first({name: derive.targets("undo", undo.body) for name, undo in undos.items()})
    others = (each for each in touched if each.kind != "undo")
    for entry in (*(undos[name] for name in first), *others):
        effects.file(entry, parents.get(entry.seq, ()))
