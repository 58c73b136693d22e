"""Entries by words, things, days and tags, newest first.

Each question goes along one index from its newest end, looks at no more than so many rows of it,
and asks the other indexes of each: an old library is no slower than a young one.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, NamedTuple

from riglog.logbook.rows import entry_of
from riglog.logbook.said import LAST, Said

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from riglog.logbook.connection import Database
    from riglog.logbook.entry import Entry

# So many rows of an index are looked at.
LOOKED_AT = 20_000
# Of two things that more entries use than this, either will do to go along.
_MANY = 2_000

_ALONG = {
    "words": """
        SELECT rowid AS entry FROM words
        WHERE text MATCH :match AND rowid BETWEEN :low AND :high ORDER BY rowid DESC""",
    "uses": """
        SELECT entry FROM uses
        WHERE component = :thing0 AND entry BETWEEN :low AND :high ORDER BY entry DESC""",
    "days": """
        SELECT entry FROM days WHERE day BETWEEN :first AND :last ORDER BY day DESC, entry DESC""",
    "log": "SELECT seq AS entry FROM entries ORDER BY seq DESC",
}
# No word of a person's stands in a statement itself.
_FOUND = """
SELECT e.* FROM ({along} LIMIT {most}) AS a CROSS JOIN entries AS e ON e.seq = a.entry
WHERE {conditions} LIMIT :limit"""
_SEARCH = """
SELECT e.* FROM words AS w CROSS JOIN entries AS e ON e.seq = w.rowid
WHERE w.text MATCH ? AND w.rowid < ? AND (? IS NULL OR e.kind = ?)
ORDER BY w.rowid DESC LIMIT ?"""
# Days lie together in the log, so that the others need to be looked through between these alone.
_BOUNDS = "SELECT min(entry), max(entry) FROM days WHERE day BETWEEN :first AND :last"
_KINDS = "e.kind IN (SELECT value FROM json_each(:kinds))"
# What was corrected or undone does not count any more; a former version of a build is one still.
_COUNTS = """(e.kind IN ('component', 'rig', 'build', 'scale') OR EXISTS (
    SELECT 1 FROM versions AS v
    WHERE v.kind = e.kind AND v.subject = e.subject AND v.superseded = 0 AND v.entry = e.seq
))"""
_USES = "EXISTS (SELECT 1 FROM uses WHERE component = :thing{number} AND entry = e.seq)"
_DAY = """substr(
    CASE WHEN e.kind = 'reading' THEN e.body ->> '$.on' ELSE e.at END, 1, 10
) BETWEEN :first AND :last"""

Values = dict[str, str | int]


class Sought(NamedTuple):
    """What an entry must have to be found; what is left empty does not matter.

    ``words`` are as people type them, each of which must occur or begin one that does, or with
    ``any_word`` one of them. ``things`` are exact ids of components and rigs that are used.
    ``days`` are the first and the last.
    """

    kinds: tuple[str, ...]
    words: tuple[str, ...] = ()
    things: tuple[str, ...] = ()
    days: tuple[str, str] | None = None
    any_word: bool = False

    @property
    def match(self) -> str:
        """The words as the full text is asked for them."""
        return phrases(self.words, " OR " if self.any_word else " AND ")


class Searching(Said):
    """Answers about which entries have something."""

    def search(
        self, words: str, *, kind: str | None = None, limit: int = LAST, before: int = LAST
    ) -> list[Entry]:
        """Entries in which every word occurs or begins one, newest first; accents do not matter.

        Punctuation is never an error: a word with a hyphen is looked for as the words it joins,
        one without a letter or figure says nothing.
        """
        wanted = phrases(words.split())
        if not wanted:
            return []
        return self._entries(_SEARCH, (wanted, before, kind, kind, limit))

    def found(self, sought: Sought, limit: int) -> list[Entry]:
        """Entries that have all that is sought, newest first, as far back as search looks."""
        rows = self._database.rows(*question(self._database, sought, limit))
        return [entry_of(row) for row in sorted(rows, reverse=True)]


def phrases(words: Iterable[str], between: str = " AND ") -> str:
    """A question to the full text; punctuation is never an error, and alone it says nothing."""
    said = (word for word in words if any(c.isalnum() for c in word))
    return between.join('"' + word.replace('"', '""') + '"*' for word in said)


def question(database: Database, sought: Sought, limit: int) -> tuple[str, Values]:
    """The statement that finds entries, newest first, and its values."""
    values: Values = {"limit": limit, "match": sought.match, "kinds": json.dumps(sought.kinds)}
    values |= {"low": 0, "high": LAST}
    if sought.days:
        values |= {"first": sought.days[0], "last": sought.days[1]}
        low, high = database.rows(_BOUNDS, values)[0]
        values |= {"low": low or 0, "high": high or 0}
    things = _rarest_first(database, sought.things, values)
    values |= {f"thing{number}": thing for number, thing in enumerate(things)}
    along = _along(sought)
    conditions = " AND ".join(_conditions(sought, along))
    sql = _FOUND.format(along=_ALONG[along], most=LOOKED_AT, conditions=conditions)
    return sql, values


def _along(sought: Sought) -> str:
    asked = {"words": sought.match, "uses": sought.things, "days": sought.days}
    return next((name for name, has in asked.items() if has), "log")


def _conditions(sought: Sought, along: str) -> Iterator[str]:
    yield _KINDS
    yield _COUNTS
    if sought.days and along != "days":
        yield _DAY
    for number in range(1 if along == "uses" else 0, len(sought.things)):
        yield _USES.format(number=number)


def _rarest_first(database: Database, things: tuple[str, ...], values: Values) -> list[str]:
    def count(thing: str) -> int:
        sql = f"SELECT count(*) FROM ({_ALONG['uses']} LIMIT {_MANY})"  # noqa: S608 # constants
        return int(database.rows(sql, {**values, "thing0": thing})[0][0])

    return sorted(things, key=count) if len(things) > 1 else list(things)
