"""The tables that follow from the entries, compared with what the entries say."""

from __future__ import annotations

from array import array
from collections import defaultdict
from functools import partial
from itertools import chain, groupby
from operator import itemgetter
from typing import TYPE_CHECKING

from riglog.errors import LibraryError, listed
from riglog.logbook import derive
from riglog.logbook.auditing.damage import Damage, of_table
from riglog.logbook.auditing.undos import UNDO_TABLES, Undos
from riglog.logbook.connection import Database, scratch

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from pathlib import Path

    from riglog.logbook.auditing.walk import Walk
    from riglog.logbook.entry import Entry

_SHOWN = 12

_TABLES = (
    (
        "CREATE TABLE parents (child INTEGER, parent INTEGER, PRIMARY KEY (child, parent))"
        " WITHOUT ROWID"
    ),
    "CREATE TABLE doubtful (seq INTEGER PRIMARY KEY)",
    *UNDO_TABLES,
    (
        "CREATE VIRTUAL TABLE texts USING fts5"
        " (text, content = '', tokenize = 'unicode61 remove_diacritics 2')"
    ),
    "CREATE VIRTUAL TABLE temp.wanted USING fts5vocab (main, texts, instance)",
)
_THERE = "CREATE VIRTUAL TABLE temp.there USING fts5vocab (library, words, instance)"

# For each table, entries that lack a row, and entries of rows that should not be there. Entries
# that are not what was recorded tell nothing; they stand in the table doubtful.
_ANCESTRY = {
    "edges": (
        """
        SELECT child FROM (
            SELECT parent, child FROM parents EXCEPT SELECT parent, child FROM edges
        )""",
        """
        SELECT child FROM (
            SELECT parent, child FROM edges EXCEPT SELECT parent, child FROM parents
        ) WHERE child NOT IN doubtful AND parent NOT IN doubtful""",
    ),
    "versions": (
        """
        SELECT e.seq FROM entries AS e
        LEFT JOIN versions AS v
            ON v.kind = e.kind AND v.subject = e.subject AND v.entry = e.seq
            AND v.superseded = (EXISTS (
                SELECT 1 FROM edges WHERE parent = e.seq
                AND child NOT IN (SELECT seq FROM undone WHERE idle)
            ) OR e.seq IN (SELECT seq FROM undone WHERE left_out))
        WHERE e.seq NOT IN doubtful AND v.number IS NOT 1 + coalesce((
            SELECT max(w.number) FROM parents AS p
            JOIN entries AS f ON f.seq = p.parent
            JOIN versions AS w
                ON w.kind = f.kind AND w.subject = f.subject
                AND w.superseded IN (0, 1) AND w.entry = f.seq
            WHERE p.child = e.seq
        ), 0)""",
        """
        SELECT v.entry FROM versions AS v LEFT JOIN entries AS e ON e.seq = v.entry
        WHERE v.entry NOT IN doubtful AND (
            e.kind IS NOT v.kind OR e.subject IS NOT v.subject
            OR v.superseded <> (EXISTS (
                SELECT 1 FROM edges WHERE parent = v.entry
                AND child NOT IN (SELECT seq FROM undone WHERE idle)
            ) OR v.entry IN (SELECT seq FROM undone WHERE left_out))
        )""",
    ),
    "about": (
        """
        SELECT entry FROM (
            SELECT * FROM abouts EXCEPT SELECT target, kind, counts, entry FROM about
        )""",
        """
        SELECT entry FROM (
            SELECT target, kind, counts, entry FROM about EXCEPT SELECT * FROM abouts
        ) WHERE entry NOT IN doubtful""",
    ),
}

# Sums for each word of how often it occurs, in which entries, and where; of squares too, so that
# two mistakes do not cancel.
_WANTED = """
SELECT term, count(*), sum(doc), sum(doc % 1000003 * (doc % 1000003)), sum(doc % 1009 * offset)
FROM temp.wanted GROUP BY term"""
_FOUND = """
SELECT term, count(*), sum(doc), sum(doc % 1000003 * (doc % 1000003)), sum(doc % 1009 * offset)
FROM temp.there WHERE doc NOT IN doubtful GROUP BY term"""
# A search goes other ways through the index than a list of all that is in it: it has to be tried.
_NOT_FOUND = """
SELECT term FROM (SELECT DISTINCT term, doc FROM temp.wanted) GROUP BY term
HAVING (count(*), sum(doc)) IS NOT (
    SELECT count(*), sum(rowid) FROM library.words
    WHERE words MATCH '"' || term || '"' AND rowid NOT IN doubtful
)"""
_SIZES = (
    """
    SELECT id FROM (SELECT * FROM texts_docsize EXCEPT SELECT * FROM words_docsize)""",
    """
    SELECT id FROM (SELECT * FROM words_docsize EXCEPT SELECT * FROM texts_docsize)
    WHERE id NOT IN doubtful""",
)


class Derived:
    """What must follow from the sound entries, beside the library that it is compared with.

    It has a database of its own, to which the library is attached: within a transaction that met a
    damaged page, SQLite writes nothing any more, not even to temporary tables.
    """

    def __init__(self) -> None:
        self._scratch = scratch()
        self._uses = Uses()
        self._days = Days()
        self._undos = Undos(self._scratch)
        for statement in _TABLES:
            self._scratch.run(statement)

    def expect(self, walk: Walk) -> None:
        """Note what follows from each entry, and the entries that tell nothing."""
        with self._scratch.writing():
            for entry in walk:
                self._uses.expect(entry)
                self._days.expect(entry)
                self._undos.expect(entry)
                self._scratch.run(
                    "INSERT INTO texts (rowid, text) VALUES (?, ?)",
                    (entry.seq, derive.text(entry.subject, entry.author, entry.body)),
                )
            self._scratch.run_many(
                "INSERT OR IGNORE INTO parents (child, parent) VALUES (?, ?)",
                zip(walk.children, walk.parents, strict=True),
            )
            self._scratch.run_many(
                "INSERT INTO doubtful VALUES (?)", [(seq,) for seq in walk.doubtful]
            )

    def differences(self, library: Path) -> Iterator[Damage]:
        """Compare the tables of a library, which must not change meanwhile."""
        self._scratch.attach(library, "library")
        try:
            self._undos.weigh()
        except LibraryError as error:
            yield of_table("about", f"cannot be read ({error.message})")
        checks: dict[str, Callable[[], Iterator[Damage]]] = {
            **{table: partial(self._ancestry, table) for table in _ANCESTRY},
            "uses": partial(self._uses.check, self._scratch),
            "days": partial(self._days.check, self._scratch),
            "words": self._words,
        }
        for table, check in checks.items():
            try:
                yield from check()
            except LibraryError as error:
                yield of_table(table, f"cannot be read ({error.message})")

    def _ancestry(self, table: str) -> Iterator[Damage]:
        lacking, strange = (self._entries_of(sql) for sql in _ANCESTRY[table])
        return _differences(table, lacking, strange)

    def _entries_of(self, sql: str) -> set[int]:
        return {row[0] for row in self._scratch.each(sql)}

    def _words(self) -> Iterator[Damage]:
        self._scratch.run(_THERE)
        wrong = set(self._scratch.each(_WANTED)) ^ set(self._scratch.each(_FOUND))
        wrong.update(self._scratch.each(_NOT_FOUND))
        if words := sorted({row[0] for row in wrong}):
            shown = listed([repr(word)[1:-1] for word in words[:_SHOWN]], "and")
            what = "1 word" if len(words) == 1 else f"{len(words)} words"
            yield of_table("words", f"finds {what} wrongly, such as {shown}")
        else:
            yield from _differences("words", *(self._entries_of(sql) for sql in _SIZES))

    def close(self) -> None:
        """Drop it all."""
        self._scratch.close()


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


_USES = """
SELECT component, entry FROM uses WHERE entry NOT IN doubtful ORDER BY component, entry"""


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

    def check(self, database: Database) -> Iterator[Damage]:
        """Compare the table with what is expected of it."""
        lacking: set[int] = set()
        strange: set[int] = set()
        versions = self._versions_by_thing()
        for thing, group in groupby(database.each(_USES), itemgetter(0)):
            have = {entry for _, entry in group}
            want = set(chain(*(self._sharing[v] for v in versions.pop(thing, ()))))
            lacking |= want - have
            strange |= have - want
        lacking.update(chain(*(self._sharing[v] for vs in versions.values() for v in vs)))
        # Nobody knows what was used by a version that is damaged or not here.
        unknown = chain(*(self._sharing[v] for v in self._sharing if v not in self._own))
        return _differences("uses", lacking, strange.difference(unknown))

    def _versions_by_thing(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = defaultdict(list)
        for version, things in self._own.items():
            for thing in things:
                found[thing].append(version)
        return found


_DAYS = "SELECT day, entry FROM days WHERE entry NOT IN doubtful ORDER BY day, entry"


class Days:
    """What the table days must hold: entries in log order, by the day that each is of."""

    def __init__(self) -> None:
        self._of: dict[str, array[int]] = defaultdict(lambda: array("q"))

    def expect(self, entry: Entry) -> None:
        """Note the day of an entry."""
        self._of[derive.day(entry.kind, entry.at, entry.body)].append(entry.seq)

    def check(self, database: Database) -> Iterator[Damage]:
        """Compare the table with what is expected of it."""
        lacking: set[int] = set()
        strange: set[int] = set()
        for day, group in groupby(database.each(_DAYS), itemgetter(0)):
            # A damaged page can hold anything in place of a number.
            have = {entry for _, entry in group if isinstance(entry, int)}
            want = set(self._of.pop(day, ()))
            lacking |= want - have
            strange |= have - want
        lacking.update(chain(*self._of.values()))
        return _differences("days", lacking, strange)
