"""The tables that follow from the entries, compared with what the entries say."""

from __future__ import annotations

from array import array
from collections import defaultdict
from itertools import chain, groupby
from operator import itemgetter
from typing import TYPE_CHECKING

from riglog.errors import LibraryError, listed
from riglog.logbook import derive
from riglog.logbook.damage import Damage, of_table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from riglog.logbook.connection import Database
    from riglog.logbook.entry import Entry
    from riglog.logbook.walk import Walk

_SHOWN = 12

# For each table, entries that lack a row, and entries of rows that should not be there. Entries
# that are not what was recorded tell nothing; they stand in the table doubtful.
_CHECKS = {
    "edges": (
        """
        SELECT child FROM (
            SELECT parent, child FROM temp.parents EXCEPT SELECT parent, child FROM edges
        )""",
        """
        SELECT child FROM (
            SELECT parent, child FROM edges EXCEPT SELECT parent, child FROM temp.parents
        ) WHERE child NOT IN temp.doubtful AND parent NOT IN temp.doubtful""",
    ),
    "versions": (
        """
        SELECT e.seq FROM entries AS e
        LEFT JOIN versions AS v
            ON v.kind = e.kind AND v.subject = e.subject AND v.entry = e.seq
            AND v.superseded = EXISTS (SELECT 1 FROM edges WHERE parent = e.seq)
        WHERE e.seq NOT IN temp.doubtful AND v.number IS NOT 1 + coalesce((
            SELECT max(w.number) FROM temp.parents AS p
            JOIN entries AS f ON f.seq = p.parent
            JOIN versions AS w
                ON w.kind = f.kind AND w.subject = f.subject
                AND w.superseded IN (0, 1) AND w.entry = f.seq
            WHERE p.child = e.seq
        ), 0)""",
        """
        SELECT v.entry FROM versions AS v LEFT JOIN entries AS e ON e.seq = v.entry
        WHERE v.entry NOT IN temp.doubtful AND (
            e.kind IS NOT v.kind OR e.subject IS NOT v.subject
            OR v.superseded <> EXISTS (SELECT 1 FROM edges WHERE parent = v.entry)
        )""",
    ),
}


def check_ancestry(database: Database, walk: Walk) -> Iterator[Damage]:
    """Compare the tables that follow from kind, subject and parents."""
    database.run(
        "CREATE TABLE temp.parents (child INTEGER, parent INTEGER, PRIMARY KEY (child, parent))"
        " WITHOUT ROWID"
    )
    database.run_many(
        "INSERT OR IGNORE INTO temp.parents (child, parent) VALUES (?, ?)",
        zip(walk.children, walk.parents, strict=True),
    )
    for table, (lacking, strange) in _CHECKS.items():
        try:
            yield from _differences(
                table,
                {row[0] for row in database.each(lacking)},
                {row[0] for row in database.each(strange)},
            )
        except LibraryError as error:
            yield of_table(table, f"cannot be read ({error.message})")


def _differences(table: str, lacking: set[int], strange: set[int]) -> Iterator[Damage]:
    if lacking:
        yield of_table(table, f"lacks rows of {_entries(lacking)}")
    if strange := strange - lacking:
        yield of_table(table, f"holds rows that do not follow from {_entries(strange)}")


def _entries(seqs: Iterable[int]) -> str:
    ordered = sorted(seqs)
    more = [f"{len(ordered) - _SHOWN} more"] if len(ordered) > _SHOWN else []
    shown = listed([*map(str, ordered[:_SHOWN]), *more], "and")
    return f"entry {shown}" if len(ordered) == 1 else f"entries {shown}"


class Uses:
    """What the table uses must hold.

    A reading uses what its version of the build does, so it is enough to keep the readings by
    version: a thing's rows are those of the versions that use it.
    """

    def __init__(self) -> None:
        self._own: dict[str, set[str]] = {}
        self._sharing: dict[str, array[int]] = defaultdict(lambda: array("q"))

    def expect(self, entry: Entry) -> None:
        """Note what an entry uses."""
        if own := derive.own_uses(entry.kind, entry.body):
            self._own[entry.id] = own
            self._sharing[entry.id].append(entry.seq)
        if version := derive.version_used(entry.kind, entry.body):
            self._sharing[version].append(entry.seq)

    def check(self, database: Database, doubtful: set[int]) -> Iterator[Damage]:
        """Compare the table with what is expected of it."""
        lacking: set[int] = set()
        strange: set[int] = set()
        versions = self._versions_by_thing()
        unknown = doubtful.union(*(self._sharing[v] for v in self._sharing if v not in self._own))
        try:
            rows = database.each("SELECT component, entry FROM uses ORDER BY component, entry")
            for thing, group in groupby(rows, itemgetter(0)):
                have = {entry for _, entry in group}
                want = set(chain(*(self._sharing[v] for v in versions.pop(thing, ()))))
                lacking |= want - have
                strange |= have - want - unknown
        except LibraryError as error:
            yield of_table("uses", f"cannot be read ({error.message})")
            return
        lacking.update(chain(*(self._sharing[v] for vs in versions.values() for v in vs)))
        yield from _differences("uses", lacking, strange)

    def _versions_by_thing(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = defaultdict(list)
        for version, things in self._own.items():
            for thing in things:
                found[thing].append(version)
        return found


class Words:
    """What the full text must hold, in a table of its own with the same tokens.

    Compared by a sum for each token: how often it occurs, in which entries and where. The sums
    are of squares too, so that two mistakes do not cancel.
    """

    _SUMS = """
    SELECT term, count(*), sum(doc), sum(doc % 1000003 * (doc % 1000003)), sum(doc % 1009 * offset)
    FROM temp.{0} WHERE doc NOT IN temp.doubtful GROUP BY term"""

    def __init__(self, database: Database) -> None:
        self._database = database
        for statement in (
            (
                "CREATE VIRTUAL TABLE temp.expected USING fts5 ("
                "text, content = '', tokenize = 'unicode61 remove_diacritics 2')"
            ),
            "CREATE VIRTUAL TABLE temp.wanted USING fts5vocab (temp, expected, instance)",
            "CREATE VIRTUAL TABLE temp.there USING fts5vocab (main, words, instance)",
        ):
            database.run(statement)

    def expect(self, entry: Entry) -> None:
        """Note the words of an entry."""
        self._database.run(
            "INSERT INTO temp.expected (rowid, text) VALUES (?, ?)",
            (entry.seq, derive.text(entry.subject, entry.author, entry.body)),
        )

    def check(self) -> Iterator[Damage]:
        """Compare the full text with what is expected of it."""
        wanted, there = (self._SUMS.format(table) for table in ("wanted", "there"))
        try:
            lacking = self._terms(f"{wanted} EXCEPT {there}")
            strange = self._terms(f"{there} EXCEPT {wanted}")
        except LibraryError as error:
            yield of_table("words", f"cannot be read ({error.message})")
            return
        if lacking or strange:
            words = sorted(lacking | strange)
            shown = listed([repr(word)[1:-1] for word in words[:_SHOWN]], "and")
            yield of_table("words", f"finds {len(words)} words wrongly, such as {shown}")

    def _terms(self, sql: str) -> set[str]:
        return {row[0] for row in self._database.each(sql)}
