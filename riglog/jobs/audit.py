"""`audit`: is everything in the library as it was recorded."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import Finding, LibraryError

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.logbook.damage import Damage


class AuditAnswer(NamedTuple):
    """A library in which nothing is wrong, and how many entries it has.

    ``refiled`` counts the entries whose derived tables were made anew; None where nobody asked.
    """

    path: str
    entries: int
    refiled: int | None = None


def audit(path: Path, *, rebuild: bool = False) -> AuditAnswer:
    """Check every entry of a library, its parents, its tables and the file.

    Parameters
    ----------
    rebuild
        Make everything but the entries anew first.

    Raises
    ------
    LibraryError
        With all damage there is, as findings; or if the file cannot be told to be a library.
    BusyError
        If somebody else keeps it locked.
    """
    from riglog.logbook import audit as log_audit

    refiled = _rebuilt(path) if rebuild else None
    found = log_audit.audit(path)
    if found.damage:
        count = "1 thing is" if len(found.damage) == 1 else f"{len(found.damage)} things are"
        message = f"{count} wrong with the library {str(path)!r}; {found.sound} entries are sound"
        hint = "nothing was changed" if refiled is None else ""
        raise LibraryError(message, hint=hint, findings=tuple(map(_finding, found.damage)))
    return AuditAnswer(str(path), found.sound, refiled)


def _rebuilt(path: Path) -> int:
    from riglog.logbook.rebuild import rebuild

    return rebuild(path)


def _finding(damage: Damage) -> Finding:
    return Finding(damage.where, 0, f"{damage.what}; {damage.works}", damage.mend)
