"""The tables of a library file, step by step as they came to be.

``entries`` is the log: rows are appended and nothing else. ``edges``, ``uses``, ``versions``,
``words``, ``days`` and ``about`` follow from it, and are there so that an answer takes as long as
the answer is, whatever the size of the log. ``choices`` is one machine's own and no part of the
log.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeAlias

from riglog.logbook.views import VIEWS

APPLICATION_ID = 0x72696731  # "rig1"

Run: TypeAlias = Callable[[str], object]
Step: TypeAlias = Callable[[Run], None]
Object: TypeAlias = tuple[str, str, str | None]

STEPS: list[Step] = []
"""What brings a file from nothing to the present version; ``user_version`` counts those done."""

DERIVED = ("edges", "uses", "versions", "words", "days", "about")


def step(change: Step) -> Step:
    """Mark a function as the next step of the schema; those that came before stay as they are."""
    STEPS.append(change)
    return change


LOG = (
    """\
CREATE TABLE entries (
    seq INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL,
    subject TEXT NOT NULL,
    at TEXT NOT NULL,
    author TEXT NOT NULL,
    parents TEXT NOT NULL,
    body TEXT NOT NULL
) STRICT""",
    """\
CREATE TRIGGER entries_are_never_changed BEFORE UPDATE ON entries
BEGIN SELECT RAISE(ABORT, 'an entry is superseded, never changed'); END""",
    """\
CREATE TRIGGER entries_are_never_removed BEFORE DELETE ON entries
BEGIN SELECT RAISE(ABORT, 'an entry is superseded, never removed'); END""",
    # REPLACE removes a row without asking the trigger above.
    """\
CREATE TRIGGER entries_are_never_replaced BEFORE INSERT ON entries
WHEN EXISTS (SELECT 1 FROM entries WHERE id = NEW.id OR seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'an entry is superseded, never replaced'); END""",
)

INDEX = (
    """\
CREATE TABLE edges (
    parent INTEGER NOT NULL REFERENCES entries,
    child INTEGER NOT NULL REFERENCES entries,
    PRIMARY KEY (parent, child)
) STRICT, WITHOUT ROWID""",
    """\
CREATE TABLE uses (
    component TEXT NOT NULL,
    entry INTEGER NOT NULL REFERENCES entries,
    PRIMARY KEY (component, entry)
) STRICT, WITHOUT ROWID""",
    # superseded = 0 are the heads, and of what is said of things whatever was not undone. The
    # number of an entry is 1 + the longest chain of its parents.
    """\
CREATE TABLE versions (
    kind TEXT NOT NULL,
    subject TEXT NOT NULL,
    superseded INTEGER NOT NULL,
    entry INTEGER NOT NULL REFERENCES entries,
    number INTEGER NOT NULL,
    PRIMARY KEY (kind, subject, superseded, entry)
) STRICT, WITHOUT ROWID""",
    """\
CREATE VIRTUAL TABLE words USING fts5 (
    text, content = '', tokenize = 'unicode61 remove_diacritics 2'
)""",
)

# The day that each entry is of: when a reading was taken, when anything else was recorded.
DAYS = """\
CREATE TABLE days (
    day TEXT NOT NULL,
    entry INTEGER NOT NULL REFERENCES entries,
    PRIMARY KEY (day, entry)
) STRICT, WITHOUT ROWID"""
_FILE_BY_DAY = """
INSERT INTO days SELECT substr(CASE
    WHEN kind = 'reading' AND json_valid(body) AND json_type(body, '$.on') = 'text'
    THEN body ->> '$.on' ELSE at END, 1, 10), seq
FROM entries"""

# What notes, tags, names and undos are about: entries that are here or may come. ``counts`` is 0
# where the one that speaks was undone.
ABOUT = """\
CREATE TABLE about (
    target TEXT NOT NULL,
    kind TEXT NOT NULL,
    counts INTEGER NOT NULL,
    entry INTEGER NOT NULL REFERENCES entries,
    PRIMARY KEY (target, kind, counts, entry)
) STRICT, WITHOUT ROWID"""

LOCAL = (
    """\
CREATE TABLE choices (
    author TEXT PRIMARY KEY,
    build TEXT NOT NULL,
    at TEXT NOT NULL
) STRICT, WITHOUT ROWID""",
)


@step
def lay_the_log(run: Run) -> None:
    """Entries, what follows from them, and local choices."""
    for statement in (*LOG, *INDEX, *LOCAL):
        run(statement)


@step
def file_by_day(run: Run) -> None:
    """What is of a day is found by it."""
    run(DAYS)
    run(_FILE_BY_DAY)


@step
def tell_what_entries_are_about(run: Run) -> None:
    """Notes, tags, names and undos, none of which were there before; views for people."""
    run(ABOUT)
    show(run)


@step
def show_conditions_and_measurements(run: Run) -> None:
    """What a reading was taken under, and what was measured on a component by itself."""
    show(run)


@step
def show_scales(run: Run) -> None:
    """What things are weighed on, with its tags and versions."""
    show(run)


def show(run: Run) -> None:
    """Lay the views anew, as every step does that changes one."""
    for statement in VIEWS:
        run(f"DROP VIEW IF EXISTS {_named(statement)[1]}")
        run(statement)


def expected() -> dict[tuple[str, str], str]:
    """Statement of every table, trigger and view that a file of the present version has."""
    tables = (*LOG, *INDEX, DAYS, ABOUT, *LOCAL)
    return {_named(statement): statement for statement in (*tables, *VIEWS)}


def _named(statement: str) -> tuple[str, str]:
    words = statement.replace("VIRTUAL ", "").split(maxsplit=3)
    return words[1].lower(), words[2]


def missing(found: Iterable[Object]) -> list[str]:
    """What of the schema is not there as it must be, by its name with its type first."""
    there = {(type_, name): sql for type_, name, sql in found}
    return [f"{type_} {name}" for (type_, name), sql in expected().items()
            if there.get((type_, name)) != sql]  # fmt: skip


def foreign(found: Iterable[Object]) -> list[str]:
    """What somebody else put into the file, by its name with its type first."""
    known = expected()
    return [f"{type_} {name}" for type_, name, _ in found
            if (type_, name) not in known and not _own(name)]  # fmt: skip


def _own(name: str) -> bool:
    """Whether SQLite made it by itself: indexes of keys, and the insides of the full text."""
    return name.startswith(("sqlite_autoindex_", "words_"))
