"""Whether everything is still there that was once, as a fingerprint or a bundle tells."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.logbook.auditing.damage import RESTORE, Damage
from riglog.logbook.fingerprint import fingerprint
from riglog.logbook.transfer.bundling import read_former

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.logbook.connection import Database
    from riglog.logbook.fingerprint import Fingerprint

_ENTRIES = "SELECT count(*) FROM entries"
_IDS = "SELECT id FROM entries"
_SHOWN = 6
_REST = "what is here works"


def since_fingerprint(database: Database, known: Fingerprint) -> Iterator[Damage]:
    """What the log lacks of what it had when the fingerprint was taken."""
    row = database.row(_ENTRIES)
    there = row[0] if row else 0
    if there < known.entries:
        what = f"has {there} entries, and had {known.entries} when the fingerprint was taken"
        yield Damage("log", what, _REST, RESTORE)
    elif fingerprint(database, known.entries) != known:
        what = f"its first {known.entries} entries are not those that the fingerprint was taken of"
        mend = "it was rewritten, or the fingerprint is of another library: compare with a backup"
        yield Damage("log", what, _REST, mend)


def since_bundle(database: Database, bundle: Path) -> Iterator[Damage]:
    """What the log lacks of a bundle.

    Raises
    ------
    CallError
        If the bundle cannot be read, or is not what was written.
    """
    lacking = set(read_former(bundle).ids)
    for (entry_id,) in database.each(_IDS):
        lacking.discard(bytes.fromhex(entry_id))
    if lacking:
        named = ", ".join(each.hex()[:8] for each in sorted(lacking)[:_SHOWN])
        more = f" and {len(lacking) - _SHOWN} more" if len(lacking) > _SHOWN else ""
        what = f"lacks entries of the bundle: {named}{more}"
        yield Damage("log", what, _REST, f"riglog merge {bundle} brings them back")
