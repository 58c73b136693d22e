"""`bundle`: the library or a part of it as one file, to be handed over."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, quoted
from riglog.library.clock import today
from riglog.library.days import days_of
from riglog.logbook.transfer.bundling import Choice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.library import Library


class BundleAnswer(NamedTuple):
    """The bundle that was written.

    ``name`` is what its content makes it go by, ``fingerprint`` that of the library it is from.
    ``builds`` are those it was made for; ``since`` is what was left out before.
    """

    path: str
    name: str
    entries: int
    fingerprint: str
    builds: tuple[str, ...]
    since: str | None
    notes_of: str | None


def bundle(
    library: Library,
    builds: Sequence[str],
    target: Path,
    *,
    since: str | None = None,
    own_notes: bool = False,
) -> BundleAnswer:
    """Write a bundle.

    Parameters
    ----------
    builds
        Those that it is for; none means everything.
    target
        A file, or a folder, in which its content names it.
    since
        An earlier bundle, or a day.
    own_notes
        Leave out the notes of other people.

    Raises
    ------
    CallError
        If ``since`` is neither, or the file cannot be written or is none.
    NotFoundError, AmbiguousError
        If the words do not name builds.
    BusyError
        If there is no room.
    """
    if target == Path("-"):
        raise CallError("a bundle is a file", hint="name one, or a folder in which it names itself")
    meant = tuple(dict.fromkeys(library.resolve("build", words) for words in builds))
    author = _author(library) if own_notes else None
    choice = _since(Choice(builds=meant, notes_of=author), since)
    path, name, entries, fingerprint = library.logbook.bundle(target, choice)
    return BundleAnswer(str(path), name, entries, fingerprint, meant, since, author)


def _author(library: Library) -> str:
    if library.author:
        return library.author
    raise CallError("nobody said whose notes are to go", hint="say who you are, as --author kim")


def _since(choice: Choice, words: str | None) -> Choice:
    if words is None:
        return choice
    if Path(words).is_file():
        return choice._replace(since=Path(words))
    try:
        day = days_of(words, today()).first
    except CallError as error:
        hint = "name a bundle that is there, or a day, as 2026-03-14 or yesterday"
        message = f"{quoted(words)} is neither a bundle nor a day"
        raise CallError(message, hint=hint) from error
    return choice._replace(since_day=day)
