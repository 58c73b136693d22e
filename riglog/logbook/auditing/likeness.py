"""What SQLite can compare by itself in a library, done beside the pass over its entries.

SQLite's full text can compare itself with a table that holds the texts, word by word and place by
place, ten times as fast as an index of them is made. The library's own index keeps no texts; so its
tables are copied beside a table of what the entries say.
"""

from __future__ import annotations

import gc
import json
import sys
from contextlib import closing
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import RiglogError
from riglog.logbook import texts
from riglog.logbook.aside import aside
from riglog.logbook.connection import Database, scratch

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from contextlib import AbstractContextManager

    Sums = list[int]

_LAID = (
    "CREATE TABLE texts (seq INTEGER PRIMARY KEY, text TEXT)",
    (
        "CREATE VIRTUAL TABLE words USING fts5 (text, content = 'texts', content_rowid = 'seq',"
        " tokenize = 'unicode61 remove_diacritics 2')"
    ),
    "DELETE FROM main.words_data",
    "DELETE FROM main.words_idx",
    "DELETE FROM main.words_docsize",
    "INSERT INTO main.words_data SELECT * FROM library.words_data",
    "INSERT INTO main.words_idx SELECT * FROM library.words_idx",
    "INSERT INTO main.words_docsize SELECT * FROM library.words_docsize",
)
_COMPARE = "INSERT INTO words (words, rank) VALUES ('integrity-check', 1)"
_SETTINGS = "SELECT k, v FROM library.words_config"
_OWN_SETTINGS = "SELECT k, v FROM main.words_config"
# The comparison reads page after page, a search looks a word's page up first: in a table with the
# first word of each. It is compared too, but for what is behind the last page that it names: there
# no word may begin. The bytes 2 and 3 of a page tell where its list of words begins, which is its
# end if there are none (fts5_index.c, "Segment leaf data"; the number of a page is in the low bits
# of its id, below that of its segment).
_BEHIND = """
SELECT length(d.block), substr(d.block, 3, 2) FROM main.words_data AS d
WHERE d.id > 10 AND (d.id >> 31) & 63 = 0 AND (d.id & 2147483647) > coalesce((
    SELECT max(pgno >> 1) FROM main.words_idx WHERE segid = d.id >> 37
), 0)"""
_PAGES = "PRAGMA library.quick_check(1)"
_NAMED = """
SELECT count(*) FROM library.versions AS v
JOIN library.entries AS e ON e.seq = v.entry AND e.kind = v.kind AND e.subject = v.subject"""
_USES = """
SELECT component, count(*), sum(entry),
    sum(((entry * :a + :b) % 524287) * ((entry * :a + :b) % 524287))
FROM library.uses GROUP BY component"""


class Compared(NamedTuple):
    """What was found: whether pages, full text and names fit.

    ``named`` is how many versions stand under the name of their entry, ``uses`` the sums by what is
    used.
    """

    holds: bool
    named: int
    uses: Mapping[str, Sums]


_NOTHING = Compared(holds=False, named=0, uses={})


def beginning(
    library: Path, figures: Mapping[str, int]
) -> AbstractContextManager[Callable[[], Compared]]:
    """Begin to compare; what the block gets waits for the answer.

    Parameters
    ----------
    library
        Must not change meanwhile.
    figures
        Of the sums over what is used.
    """
    words = [__name__, str(library), json.dumps(dict(figures))]
    return aside(library, words, partial(compared, library, figures), _read)


def _read(said: bytes) -> Compared:
    return Compared(**json.loads(said))


def compared(library: Path, figures: Mapping[str, int]) -> Compared:
    """Compare; what cannot be read does not fit."""
    try:
        with closing(scratch()) as database:
            database.attach(library, "library")
            return _asked(database, dict(figures))
    except RiglogError:
        return _NOTHING


def _asked(database: Database, figures: dict[str, int]) -> Compared:
    uses = {name: sums for name, *sums in database.each(_USES, figures)}
    named = database.rows(_NAMED)[0][0]
    with database.writing():
        for statement in _LAID:
            database.run(statement)
        texts.fill(database, "main.texts", "library.entries")
    database.run(_COMPARE)
    same = database.rows(_SETTINGS) == database.rows(_OWN_SETTINGS)
    rest = all(size == int.from_bytes(end, "big") for size, end in database.each(_BEHIND))
    return Compared(same and rest and database.rows(_PAGES) == [("ok",)], named, uses)


if __name__ == "__main__":
    gc.disable()
    found = compared(Path(sys.argv[1]), json.loads(sys.argv[2]))
    print(json.dumps(found._asdict()))  # noqa: T201 # to the process that asked
