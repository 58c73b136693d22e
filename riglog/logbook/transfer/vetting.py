"""Whether all that lies staged is what a program like this one recorded, and what it rests on."""

from __future__ import annotations

import json
from contextlib import closing
from typing import TYPE_CHECKING, NamedTuple

from riglog.logbook.connection import workplace
from riglog.logbook.entry import Envelope
from riglog.logbook.transfer.foreign import is_id, needs

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.logbook.connection import Database
    from riglog.logbook.transfer.foreign import Fault

_STAGED = "SELECT place, source, number, id, kind, subject, at, author, parents, body FROM staged"
_THERE = "SELECT 1 FROM staged WHERE id = ?"


class Flaw(NamedTuple):
    """What is wrong with an entry, at which line of a bundle, or place in the log of a library.

    ``place`` is where it is staged; ``id`` as its source has it, empty where that is none.
    """

    place: int
    source: int
    number: int
    id: str
    subject: str
    what: str


class Vetted(NamedTuple):
    """What was found: flaws, and by source the ids of entries that it rests on and has not."""

    flaws: list[Flaw]
    lacking: list[tuple[int, str]]


def told(vetted: Vetted) -> str:
    """What was found, as one process tells another."""
    return json.dumps(vetted)


def read(said: bytes) -> Vetted:
    """What another process found."""
    flaws, lacking = json.loads(said)
    return Vetted([Flaw(*each) for each in flaws], [(source, id_) for source, id_ in lacking])


def vet(staging: Path, fault: Fault) -> Vetted:
    """Look at every entry that is staged.

    Parameters
    ----------
    staging
        The file; nothing else is opened.
    fault
        Tells what is wrong with what an entry says.
    """
    with closing(workplace(staging)) as database:
        vetting = _Vetting(database, fault)
        flaws = list(vetting.flaws())
        return Vetted(flaws, [each for each in vetting.needed if not _is_there(database, each[1])])


class _Vetting:
    """One pass over what is staged.

    Attributes
    ----------
    needed : dict
        Sources, each with the id of an entry that one of theirs cannot do without, as keys.
    """

    def __init__(self, database: Database, fault: Fault) -> None:
        self._database = database
        self._fault = fault
        self.needed: dict[tuple[int, str], None] = {}

    def flaws(self) -> Iterator[Flaw]:
        """What is wrong, entry by entry."""
        for place, source, number, entry_id, *columns in self._database.each(_STAGED):
            envelope = Envelope(*columns)
            try:
                for needed in needs(entry_id, envelope, self._fault):
                    self.needed[source, needed] = None
            except (TypeError, ValueError) as error:
                name = entry_id if is_id(entry_id) else ""
                yield Flaw(place, source, number, name, str(envelope.subject), str(error))


def _is_there(database: Database, entry_id: str) -> bool:
    return database.row(_THERE, (entry_id,)) is not None
