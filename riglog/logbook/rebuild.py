"""Everything but the log made anew from the log: derived tables, views, triggers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import LibraryError
from riglog.logbook import derive, schema
from riglog.logbook.auditing.walk import Walk
from riglog.logbook.connection import Database, check_present, connect
from riglog.logbook.effects import undos_first
from riglog.logbook.index import Index
from riglog.logbook.opening import check_current, objects
from riglog.logbook.rows import entry_of

if TYPE_CHECKING:
    from pathlib import Path

_LOG = ("table", "entries")
_ENTRIES = "SELECT * FROM entries ORDER BY seq"


def rebuild(path: Path) -> int:
    """Restore the schema and refill the tables that follow from the entries; how many it filed.

    No entry is touched. Triggers that another program put in are removed; its tables and views
    stay, and so do local choices.

    Raises
    ------
    LibraryError
        If the log itself is damaged: tables made from what is left of it would bring back versions
        that a damaged entry supersedes.
    BusyError
        If somebody else is writing, or there is no room.
    """
    check_present(path)
    database = connect(path, write=True)
    try:
        check_current(database)
        with database.writing():
            _restore_schema(database)
            return _refill(database)
    finally:
        database.close()


def _restore_schema(database: Database) -> None:
    expected = schema.expected()
    kept = set()
    # Triggers first: one on a derived table goes with that table.
    for type_, name, sql in sorted(objects(database), key=lambda found: found[0] != "trigger"):
        if expected.get((type_, name)) == sql and name not in schema.DERIVED:
            kept.add((type_, name))
        elif (type_, name) == _LOG:
            raise _damaged(database, "its log is not as riglog made it")
        elif type_ == "trigger" or name in {ours for _, ours in expected}:
            quoted = name.replace('"', '""')
            database.run(f'DROP {type_} "{quoted}"')
    if _LOG not in kept:
        raise _damaged(database, "it has no log")
    for made, statement in expected.items():
        if made not in kept:
            database.run(statement)


def _refill(database: Database) -> int:
    walk = Walk(database)
    undos = {entry.id: entry for entry in walk if entry.kind == "undo" and not entry.parents}
    if walk.damage:
        raise _damaged(database, str(walk.damage[0]))
    index = Index(database)
    for name in undos_first({name: derive.targets("undo", e.body) for name, e in undos.items()}):
        index.file(undos[name])
    for row in database.each(_ENTRIES):
        entry = entry_of(row)
        if entry.id not in undos:
            index.file(entry)
    index.finish()
    return walk.sound


def _damaged(database: Database, what: str) -> LibraryError:
    return LibraryError(
        f"the library {str(database.path)!r} cannot be rebuilt: {what}",
        hint="nothing was changed; take it from a backup or a bundle",
    )
