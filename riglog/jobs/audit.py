"""`audit`: is everything in the library as it was recorded."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import Finding, LibraryError
from riglog.logbook.fingerprint import parse

if TYPE_CHECKING:
    from riglog.logbook.auditing.damage import Damage


class AuditAnswer(NamedTuple):
    """A library in which nothing is wrong, how many entries it has, and the word for them.

    ``against`` is the fingerprint or bundle of which everything is there; None where none was told.
    """

    path: str
    entries: int
    fingerprint: str
    against: str | None = None


def audit(path: Path, *, against: str | None = None) -> AuditAnswer:
    """Check every entry of a library, its parents, its tables and the file.

    Parameters
    ----------
    against
        A fingerprint, or a bundle: everything of it must be there.

    Raises
    ------
    CallError
        If ``against`` is neither.
    LibraryError
        With all damage there is, as findings; or if the file cannot be told to be a library.
    BusyError
        If somebody else keeps it locked.
    """
    from riglog.logbook.auditing import audit as log_audit

    bundle = Path(against) if against and Path(against).is_file() else None
    known = parse(against) if against and not bundle else None
    found = log_audit.audit(path, log_audit.Known(known, bundle))
    if found.damage:
        count = "1 thing is" if len(found.damage) == 1 else f"{len(found.damage)} things are"
        message = f"{count} wrong with the library {str(path)!r}; {found.sound} entries are sound"
        findings = tuple(map(_finding, found.damage))
        raise LibraryError(message, hint="nothing was changed", findings=findings)
    return AuditAnswer(str(path), found.sound, str(found.fingerprint), against)


def _finding(damage: Damage) -> Finding:
    return Finding(damage.where, 0, f"{damage.what}; {damage.works}", damage.mend)
