"""Is everything as it was recorded? All damage at once, what still works, and what to do.

Every id is computed anew from its columns, every parent looked for, every derived table compared
with what the entries say, the schema with ours, and SQLite asked for its own check, which sees few
of the changes in texts. All of that is asked at once first (``proof``), which takes seconds for a
million entries. Where anything differs, a walk along the log tells what, entry by entry; nothing
stops it: where a page cannot be read, its neighbors are.
"""

from __future__ import annotations

from contextlib import closing, contextmanager, suppress
from pathlib import Path  # noqa: TC003 # the hints of a named tuple are read while it is made
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import LibraryError
from riglog.logbook import schema
from riglog.logbook.auditing.against import since_bundle, since_fingerprint
from riglog.logbook.auditing.damage import MEND, RESTORE, Damage
from riglog.logbook.auditing.derived import Derived
from riglog.logbook.auditing.proof import proof
from riglog.logbook.auditing.salvage import filled_up, pages_missing
from riglog.logbook.auditing.walk import Walk
from riglog.logbook.connection import check_present, connect
from riglog.logbook.fingerprint import Fingerprint, fingerprint
from riglog.logbook.opening import check_current, objects

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.logbook.connection import Database

_MESSAGES = 100


class Audit(NamedTuple):
    """How many entries are as they were recorded, all that is wrong, and the word for the log.

    The fingerprint is None where something is wrong.
    """

    sound: int
    damage: tuple[Damage, ...]
    fingerprint: Fingerprint | None = None


class Known(NamedTuple):
    """What was there once, as a fingerprint or a bundle of that time tells."""

    fingerprint: Fingerprint | None = None
    bundle: Path | None = None


NOTHING = Known()


def audit(path: Path, known: Known = NOTHING) -> Audit:
    """Check a library file as a whole. It is not changed, and may be read-only.

    Parameters
    ----------
    known
        What must be there still.

    Raises
    ------
    LibraryError
        If there is no file, or not so much of one that it can be told to be a library.
    BusyError
        If somebody else keeps it locked.
    """
    check_present(path)
    with suppress(LibraryError), _opened(path):
        pass  # undoes a write that was interrupted; whether it is a library is asked below
    if missing := pages_missing(path):
        return _audit_of_rest(path, missing, known)
    return _audit(path, known)


def _audit_of_rest(path: Path, missing: int, known: Known) -> Audit:
    what = f"is cut short: {missing} of its pages {'is' if missing == 1 else 'are'} missing"
    with filled_up(path) as copy:
        try:
            rest = _audit(copy, known)
        except LibraryError as error:
            name = repr(str(path))
            raise LibraryError(f"too little is left of {name} to read it", hint=RESTORE) from error
    cut = Damage("file", what, "the entries that are not listed here work", RESTORE)
    return Audit(rest.sound, (cut, *rest.damage))


def _audit(path: Path, known: Known) -> Audit:
    with _opened(path) as database, database.snapshot():
        damage = list(_schema(database))
        if not damage and (found := proof(database)):
            lost = tuple(_lost(database, known))
            return Audit(found.entries, lost, None if lost else found)
        walk = Walk(database)
        derived = list(_derived(database, walk))
        damage.extend([*walk.damage, *derived, *_own_check(database), *_lost(database, known)])
        return Audit(walk.sound, tuple(damage), None if damage else fingerprint(database))


def _lost(database: Database, known: Known) -> Iterator[Damage]:
    """What was there once and is not any more."""
    try:
        if known.fingerprint:
            yield from since_fingerprint(database, known.fingerprint)
        if known.bundle:
            yield from since_bundle(database, known.bundle)
    except LibraryError as error:
        yield Damage("log", f"cannot be compared ({error.message})", "nothing is sure", RESTORE)


@contextmanager
def _opened(path: Path) -> Iterator[Database]:
    database = connect(path, write=False)
    try:
        check_current(database)
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
    with closing(Derived()) as derived:
        derived.expect(walk)
        yield from derived.differences(database.path)


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
