"""Questions to the log. Each takes as long as its answer is, whatever the size of the log."""

from __future__ import annotations

import json
import re
from collections import defaultdict
from typing import TYPE_CHECKING, Any

from riglog.errors import AmbiguousError, NotFoundError, listed, quoted
from riglog.logbook import ancestry, names, versions
from riglog.logbook.effects import THINGS
from riglog.logbook.rows import entry_of
from riglog.logbook.search import Searching
from riglog.logbook.versions import Place, Version

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from riglog.logbook.entry import Entry

NOUNS = THINGS
"""The kinds that are known by an id, all in one namespace."""

_SHORTEST_ID = 4
_LAST = 2**63 - 1

_HEADS = """
SELECT e.* FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = ? AND v.subject = ? AND v.superseded = 0
ORDER BY v.entry"""
_NEWEST_HEADS = """
SELECT e.* FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = ?1 AND v.subject = ?2 AND v.superseded = 0 AND v.entry < ?3
    AND (?4 = '[]' OR EXISTS (SELECT 1 FROM json_each(?4) WHERE instr(e.body, value)))
ORDER BY v.entry DESC LIMIT ?5"""
_VERSIONS = """
SELECT e.*, v.number, v.superseded FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = ? AND v.subject = ?
ORDER BY v.entry"""
_PLACES = """
SELECT e.id, v.number FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = ? AND v.subject = ?
ORDER BY v.entry"""
_ALIKE = """
SELECT e.*, v.number, v.superseded FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = :kind AND v.subject = :subject AND v.number = (
    SELECT number FROM versions WHERE kind = :kind AND subject = :subject
    AND superseded IN (0, 1) AND entry = (SELECT seq FROM entries WHERE id = :id)
)
ORDER BY v.entry"""
# Asks for the next id after the last one, so that many versions of few things cost nothing.
_SUBJECTS = """
WITH RECURSIVE each(subject) AS (
    SELECT min(subject) FROM versions WHERE kind = :kind
    UNION ALL
    SELECT (SELECT min(subject) FROM versions WHERE kind = :kind AND subject > each.subject)
    FROM each WHERE subject IS NOT NULL
)
SELECT subject FROM each WHERE subject IS NOT NULL"""
_OLDEST_FIRST = """
SELECT v.subject FROM json_each(?) AS name
JOIN versions AS v ON v.kind = ? AND v.subject = name.value
GROUP BY v.subject ORDER BY min(v.entry)"""
_FIRST_TWIN = """
SELECT min(e.id) FROM entries AS own
CROSS JOIN versions AS v ON v.kind = ?1 AND v.subject = ?2
CROSS JOIN entries AS e ON e.seq = v.entry AND e.parents = own.parents AND e.body = own.body
WHERE own.id = ?3"""
_LOG = "SELECT * FROM entries WHERE seq > ? ORDER BY seq"
_CHILDREN = """
SELECT e.* FROM entries AS p
JOIN edges AS x ON x.parent = p.seq
JOIN entries AS e ON e.seq = x.child
WHERE p.id = ? ORDER BY e.seq"""
# CROSS JOIN keeps the order of the tables, whatever somebody's ANALYZE says of their sizes.
_USING = """
SELECT e.* FROM uses AS u CROSS JOIN entries AS e ON e.seq = u.entry
WHERE u.component = ? AND u.entry < ? AND e.kind = ? AND EXISTS (
    SELECT 1 FROM versions AS v
    WHERE v.kind = e.kind AND v.subject = e.subject AND v.superseded = 0 AND v.entry = e.seq
)
ORDER BY u.entry DESC LIMIT ?"""
_ALIKE_USES = """
SELECT e.* FROM (
    SELECT entry, row_number() OVER (PARTITION BY subject ORDER BY entry DESC) AS place FROM (
        SELECT u.entry AS entry, r.subject AS subject
        FROM uses AS u CROSS JOIN entries AS r ON r.seq = u.entry
        WHERE u.component = ? AND u.entry < ? AND r.kind = 'reading'
            AND json_type(r.body, '$.conditions') IS NULL
            AND EXISTS (
                SELECT 1 FROM versions AS v
                WHERE v.kind = 'reading' AND v.subject = r.subject
                    AND v.superseded = 0 AND v.entry = r.seq
            )
        ORDER BY u.entry DESC LIMIT ?
    )
) AS near
CROSS JOIN entries AS e ON e.seq = near.entry
WHERE near.place <= ?
ORDER BY (
    SELECT count(*) FROM json_each(?) AS other CROSS JOIN uses AS o
        ON o.component = other.value AND o.entry = near.entry
) DESC, near.entry DESC LIMIT ?"""


class Reader(Searching):
    """Answers from one library file."""

    def entry(self, name: str) -> Entry:
        """The entry of an id, or of the only one that starts so.

        Raises
        ------
        NotFoundError
            If there is none, or fewer than four characters are given.
        AmbiguousError
            If several ids start so.
        """
        start = name.strip().casefold()
        rows = []
        if len(start) >= _SHORTEST_ID and re.fullmatch(r"[0-9a-f]+", start, re.ASCII):
            rows = self._database.rows(
                "SELECT * FROM entries WHERE id >= ? AND id < ? ORDER BY id LIMIT 9",
                (start, start + "g"),
            )
        if not rows:
            raise NotFoundError(
                f"there is no entry {quoted(name)}",
                hint=f"give its id, or at least the first {_SHORTEST_ID} characters of it",
            )
        if len(rows) > 1:
            several = listed([row[1][: len(start) + 4] for row in rows])
            raise AmbiguousError(f"several entries start with {quoted(name)}", hint=several)
        return entry_of(rows[0])

    def kind_of(self, subject: str) -> str | None:
        """Which of ``NOUNS`` an id is one of; None where nothing has it."""
        row = self._database.row(
            "SELECT kind FROM versions WHERE kind IN (?, ?, ?, ?) AND subject = ? LIMIT 1",
            (*NOUNS, subject),
        )
        return row[0] if row else None

    def subjects(self, kind: str) -> list[str]:
        """Ids of everything of a kind that the log speaks of, sorted."""
        return [row[0] for row in self._database.rows(_SUBJECTS, {"kind": kind})]

    def oldest_first(self, kind: str, subjects: Iterable[str]) -> list[str]:
        """These things of a kind in the order in which they were first recorded."""
        rows = self._database.rows(_OLDEST_FIRST, (json.dumps(sorted(subjects)), kind))
        return [row[0] for row in rows]

    def resolve(self, words: str, kind: str | None = None) -> str:
        """The id of a component, rig, build or scale that a person means by an id or a part of one.

        Raises
        ------
        AmbiguousError
            If the words are part of several ids and not one in full.
        NotFoundError
            If nothing is called so; the hint names what is near.
        CallError
            If there are no words.
        """
        kinds = NOUNS if kind is None else (kind,)
        if any(self._known(each, words) for each in kinds):
            return words
        known = sorted(subject for each in kinds for subject in self.subjects(each))
        return names.pick(words, known, kind or "record")

    def _known(self, kind: str, subject: str) -> bool:
        sql = "SELECT 1 FROM versions WHERE kind = ? AND subject = ? LIMIT 1"
        return self._database.row(sql, (kind, subject)) is not None

    def heads(self, kind: str, subject: str) -> list[Entry]:
        """Entries of a thing that nothing supersedes, in log order. More than one is a fork."""
        return self._entries(_HEADS, (kind, subject))

    def versions(self, kind: str, subject: str) -> list[Version]:
        """Every version of a thing, in log order."""
        return _versions(self._database.rows(_VERSIONS, (kind, subject)))

    def version(self, kind: str, subject: str, name: str) -> Version:
        """The version of a thing by its name: ``3``, ``3.ab12``, or the start of an entry's id.

        Raises
        ------
        NotFoundError
            If the thing or the version is not there.
        AmbiguousError
            If two versions have that number.
        """
        with self._database.snapshot():
            places = [Place(*row) for row in self._database.rows(_PLACES, (kind, subject))]
            if not places:
                raise NotFoundError(f"there is no {kind} {quoted(subject)}")
            return self._alike(kind, subject, versions.pick(places, name, subject).id)

    def first_twin(self, entry: Entry) -> str:
        """The id that stands for an entry and its twins: the first of them by their ids."""
        values = (entry.kind, entry.subject, entry.id)
        row = self._database.row(_FIRST_TWIN, values)
        return row[0] if row and row[0] else entry.id

    def version_of(self, entry: Entry) -> Version:
        """An entry as the version of its subject that it is."""
        return self._alike(entry.kind, entry.subject, entry.id)

    def _alike(self, kind: str, subject: str, entry_id: str) -> Version:
        """One version, called so that it cannot be taken for those of the same number."""
        values = {"kind": kind, "subject": subject, "id": entry_id}
        alike = _versions(self._database.rows(_ALIKE, values))
        return next(version for version in alike if version.entry.id == entry_id)

    def ancestors(self, entry_id: str) -> list[Entry]:
        """Everything that an entry came from, nearest first."""
        known = {entry_id: self.entry(entry_id)}

        def parents_of(child: str) -> tuple[str, ...]:
            for parent in known[child].parents:
                known.setdefault(parent, self.entry(parent))
            return known[child].parents

        return [known[found] for found in ancestry.ancestors(entry_id, parents_of)]

    def children(self, entry_id: str) -> list[Entry]:
        """Entries that supersede this one, in log order."""
        return self._entries(_CHILDREN, (entry_id,))

    def readings_of(
        self, build: str, *, versions: Iterable[str] = (), limit: int = _LAST, before: int = _LAST
    ) -> list[Entry]:
        """Readings of a build that nothing supersedes, newest first, older than a ``seq``.

        With ``versions``, the ids of a version and its twins, those of that version alone: a build
        may have thousands of others.
        """
        names = json.dumps(sorted(versions))
        return self._entries(_NEWEST_HEADS, ("reading", build, before, names, limit))

    def readings_using(self, thing: str, *, limit: int = _LAST, before: int = _LAST) -> list[Entry]:
        """Readings of builds that use a component or rig, as ``readings_of`` gives them."""
        return self._entries(_USING, (thing, before, "reading", limit))

    def readings_alike(
        self,
        thing: str,
        things: Sequence[str],
        *,
        limit: int,
        each: int,
        among: int,
        before: int = _LAST,
    ) -> list[Entry]:
        """Readings of builds that use one thing, those first that use most of some others too.

        Takes the newest ``each`` of a build, and looks at the newest ``among`` of all, so that an
        old library is no slower than a young one. Those taken under some condition, and those not
        older than a ``seq``, are passed over.
        """
        others = json.dumps(list(things))
        return self._entries(_ALIKE_USES, (thing, before, among, each, others, limit))

    def builds_using(self, thing: str, *, limit: int = _LAST, before: int = _LAST) -> list[Entry]:
        """Builds as they stand now that use a component or rig, newest first."""
        return self._entries(_USING, (thing, before, "build", limit))

    def weighings_on(self, scale: str, *, limit: int = _LAST) -> list[Entry]:
        """Measurements that were made with a scale, newest first; among so many that name it."""
        named = self.search(scale, kind="measurement", limit=limit)
        return [each for each in named if each.body.get("scale") == scale]

    def log(self, *, after: int = 0) -> Iterator[Entry]:
        """Every entry in log order, one by one, from beyond a ``seq``."""
        for row in self._database.each(_LOG, (after,)):
            yield entry_of(row)

    def fingerprint(self) -> str:
        """A short word for everything that the log holds."""
        from riglog.logbook.fingerprint import fingerprint

        return str(fingerprint(self._database))

    def chosen(self, author: str) -> str | None:
        """The build that an author means when none is named; it need not exist any more."""
        row = self._database.row("SELECT build FROM choices WHERE author = ?", (author,))
        return row[0] if row else None

    def _entries(self, sql: str, values: tuple[Any, ...]) -> list[Entry]:
        return [entry_of(row) for row in self._database.rows(sql, values)]


def _versions(rows: list[tuple[Any, ...]]) -> list[Version]:
    called = versions.names(Place(row[1], row[-2]) for row in rows)
    alike: dict[tuple[str, str], list[str]] = defaultdict(list)
    for _, entry_id, *_, parents, body, _, _ in rows:
        alike[parents, body].append(entry_id)
    found = []
    for *entry, number, superseded in rows:
        twins = tuple(each for each in alike[entry[-2], entry[-1]] if each != entry[1])
        found.append(Version(entry_of(entry), number, called[entry[1]], not superseded, twins))
    return found
