"""The walk along the log that an audit makes: each entry by itself and against its parents."""

from __future__ import annotations

from array import array
from typing import TYPE_CHECKING, Any

from riglog.errors import LibraryError
from riglog.logbook import derive
from riglog.logbook.auditing.damage import Damage, of_entry
from riglog.logbook.entry import Entry, Envelope

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.logbook.connection import Database

Row = tuple[Any, ...]

_BLOCK = 1000
_LEAST_BYTES = 100  # an id alone takes 64
_ROWS = "SELECT * FROM entries WHERE seq BETWEEN ? AND ? ORDER BY seq"
# A range looks at what comes after it, too, which may be what cannot be read.
_ROW = "SELECT * FROM entries WHERE seq = ?"
_SEQ = "SELECT seq FROM entries WHERE id = ?"
# Where the end of the log was cut off or cannot be read, what followed from it tells its length.
_LASTS = (
    "SELECT max(seq) FROM entries",
    "SELECT max(entry) FROM versions",
    "SELECT max(id) FROM words_docsize",
)


class Walk:
    """One walk; iterate over it for the sound entries, then ask for the others.

    Parameters
    ----------
    database
        Within a snapshot.

    Attributes
    ----------
    sound : int
        How many entries are as they were recorded.
    doubtful : set of int
        ``seq`` of those that are not, or not there.
    damage : list of Damage
        What is wrong with them.
    children, parents : array of int
        ``seq`` of each sound entry that supersedes one, and of that one.
    """

    def __init__(self, database: Database) -> None:
        self._database = database
        self.sound = 0
        self.doubtful: set[int] = set()
        self.damage: list[Damage] = []
        self.children = array("q")
        self.parents = array("q")

    def __iter__(self) -> Iterator[Entry]:
        due = 1
        last = _last(self._database)
        for seq, row in _rows(self._database, last):
            self._missing(due, seq - 1)
            due = seq + 1
            if entry := self._checked(seq, row):
                self.sound += 1
                yield entry
        self._missing(due, last)

    def _missing(self, first: int, last: int) -> None:
        if first > last:
            return
        self.doubtful.update(range(first, last + 1))
        what = "was removed" if first == last else f"to {last} were removed"
        self.damage.append(of_entry(first, what))

    def _checked(self, seq: int, row: Row | None) -> Entry | None:
        """The entry, if it is what was recorded; its parents are another matter."""
        sound = _sound(seq, row)
        if isinstance(sound, str):
            self.doubtful.add(seq)
            self.damage.append(of_entry(seq, sound, row))
            return None
        self.damage.extend(of_entry(seq, what, row) for what in self._unknown(sound))
        return sound

    def _unknown(self, entry: Entry) -> Iterator[str]:
        """What is wrong with the entries that this one names."""
        for parent in entry.parents:
            seq = self._seq(parent)
            if seq is None:
                yield f"supersedes {parent[:8]}, which is not here"
                continue
            self.children.append(entry.seq)
            self.parents.append(seq)
            if seq >= entry.seq:
                yield f"supersedes {parent[:8]}, which was recorded after it"
        version = derive.version_used(entry.kind, entry.body)
        if version and self._seq(version) is None:
            yield f"was taken on version {version[:8]} of its build, which is not here"

    def _seq(self, entry_id: str) -> int | None:
        try:
            row = self._database.row(_SEQ, (entry_id,))
        except LibraryError:
            return None
        return row[0] if row else None


def every_row(database: Database) -> Iterator[tuple[int, Row | None]]:
    """Every row of a log that there is, in order; None for one that cannot be read."""
    return _rows(database, _last(database))


def _sound(seq: int, row: Row | None) -> Entry | str:
    """The entry of a row, or what is wrong with it."""
    if row is None:
        return "cannot be read"
    try:
        envelope = Envelope(*row[2:])
        if envelope.id != row[1]:
            return "is not what was recorded: its id does not fit"
        entry = Entry.of(seq, row[1], envelope)
    except (TypeError, ValueError):
        return "is not what was recorded: it is no text or no JSON"
    return entry if isinstance(entry.body, dict) else "has a body that is no JSON object"


def _last(database: Database) -> int:
    """``seq`` of the last entry that there is or was."""
    pages = _number(database, "PRAGMA page_count") * _number(database, "PRAGMA page_size")
    lasts = [_number(database, sql) for sql in _LASTS]
    # A damaged count can be anything; one that the file has no room for is none.
    return max((last for last in lasts if last <= pages // _LEAST_BYTES), default=0)


def _number(database: Database, sql: str) -> int:
    try:
        row = database.row(sql)
    except LibraryError:
        return 0
    return row[0] if row and isinstance(row[0], int) else 0


def _rows(database: Database, last: int) -> Iterator[tuple[int, Row | None]]:
    """Every row up to the last, in order; None for one that cannot be read."""
    for first in range(1, last + 1, _BLOCK):
        block = (first, min(first + _BLOCK - 1, last))
        try:
            rows = database.rows(_ROWS, block)
        except LibraryError:
            yield from _one_by_one(database, *block)
        else:
            yield from ((row[0], row) for row in rows)


def _one_by_one(database: Database, first: int, last: int) -> Iterator[tuple[int, Row | None]]:
    for seq in range(first, last + 1):
        try:
            rows = database.rows(_ROW, (seq,))
        except LibraryError:
            yield seq, None
        else:
            yield from ((row[0], row) for row in rows)
