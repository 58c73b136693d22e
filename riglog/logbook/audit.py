"""Is everything as it was recorded? All damage at once, what still works, and what to do.

Every id is computed anew from its columns, every parent looked for, every derived table compared
with what the entries say, the schema with ours, and SQLite asked for its own check, which sees few
of the changes in texts. Nothing stops the walk: where a page cannot be read, its neighbors are.
"""

from __future__ import annotations

from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import LibraryError
from riglog.logbook import schema
from riglog.logbook.connection import Database, check_present
from riglog.logbook.damage import MEND, RESTORE, Damage
from riglog.logbook.derived import Uses, Words, check_ancestry
from riglog.logbook.opening import check_current, objects
from riglog.logbook.salvage import filled_up, pages_missing
from riglog.logbook.walk import Walk

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_MESSAGES = 100


class Audit(NamedTuple):
    """How many entries are as they were recorded, and all that is wrong."""

    sound: int
    damage: tuple[Damage, ...]


def audit(path: Path) -> Audit:
    """Check a library file as a whole. It is not changed, and may be read-only.

    Raises
    ------
    LibraryError
        If there is no file, or not so much of one that it can be told to be a library.
    BusyError
        If somebody else keeps it locked.
    """
    check_present(path)
    damage = list(_cut_short(path))
    with _opened(path, cut_short=bool(damage)) as database, database.snapshot():
        damage.extend(_schema(database))
        walk = Walk(database)
        derived = list(_derived(database, walk))
        damage.extend([*walk.damage, *derived, *_own_check(database)])
    return Audit(walk.sound, tuple(damage))


def _cut_short(path: Path) -> Iterator[Damage]:
    """Whether the end of the file is missing, once an interrupted write is undone."""
    with suppress(LibraryError), _opened(path, cut_short=False):
        pass  # where it cannot be opened at all, the next attempt says so
    if missing := pages_missing(path):
        what = f"is cut short: {missing} of its pages are missing"
        yield Damage("file", what, "the entries that are not listed here work", RESTORE)


@contextmanager
def _opened(path: Path, *, cut_short: bool) -> Iterator[Database]:
    if cut_short:
        with filled_up(path) as copy, _opened(copy, cut_short=False) as database:
            yield database
        return
    database = Database(path, write=False)
    try:
        check_current(database)
        # The tables to compare with are temporary ones; nothing is written to the file.
        database.run("PRAGMA query_only=OFF")
        yield database
    finally:
        database.close()


def _schema(database: Database) -> Iterator[Damage]:
    """What of the schema is not ours, or not there."""
    try:
        found = objects(database)
    except LibraryError as error:
        yield Damage("schema", f"cannot be read ({error.message})", "nothing is sure", RESTORE)
        return
    for name in schema.missing(found):
        works = "what is recorded stays, what uses it does not work"
        yield Damage(name, "is not there as riglog made it", works, MEND)
    for name in schema.foreign(found):
        harm = "nothing is recorded while it is there" if name.startswith("trigger") else ""
        yield Damage(name, "was put in by another program", harm or "everything works", MEND)


def _derived(database: Database, walk: Walk) -> Iterator[Damage]:
    """Walk along the entries, and compare what follows from the sound ones."""
    uses, words = Uses(), Words(database)
    for entry in walk:
        uses.expect(entry)
        words.expect(entry)
    database.run("CREATE TABLE temp.doubtful (seq INTEGER PRIMARY KEY)")
    database.run_many("INSERT INTO temp.doubtful VALUES (?)", [(seq,) for seq in walk.doubtful])
    yield from check_ancestry(database, walk)
    yield from uses.check(database, walk.doubtful)
    yield from words.check()


def _own_check(database: Database) -> Iterator[Damage]:
    """What SQLite says of its pages and indexes."""
    try:
        said = [row[0] for row in database.rows(f"PRAGMA integrity_check({_MESSAGES})")]
    except LibraryError as error:
        said = [error.message]
    for what in said:
        if what != "ok":
            works = "the entries that are not listed here work"
            yield Damage("file", f"SQLite finds: {what}", works, RESTORE)
