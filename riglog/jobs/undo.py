"""`undo`: an entry that names what it reverses; what it will do is told before it is done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import CallError, NotFoundError
from riglog.jobs.described import Describer
from riglog.jobs.version_answers import UndoAnswer, Undone
from riglog.library import undoing
from riglog.library.targets import entry_named
from riglog.logbook import NOUNS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.library import Library
    from riglog.library.undoing import Reversal
    from riglog.logbook import Entry


def undo_plan(library: Library, words: Sequence[str]) -> UndoAnswer:
    """What an undo would do; nothing is recorded.

    Parameters
    ----------
    words
        Entries by the start of their ids, or ``ID`` or ``ID@VERSION`` of versions; none means the
        last thing that the author recorded.

    Raises
    ------
    NotFoundError, AmbiguousError, ForkError
        If a word does not name one entry.
    NoAnswerError
        If it is undone already, or something else rests on it.
    """
    log, describer = library.logbook, Describer(library)
    reversals = [undoing.plan(log, entry) for entry in _entries(library, words)]
    return UndoAnswer(done=False, undone=[_told(library, describer, each) for each in reversals])


def undo(
    library: Library, words: Sequence[str], planned: UndoAnswer | None = None, why: str = ""
) -> UndoAnswer:
    """Undo, all or nothing, each after what was named before it.

    Parameters
    ----------
    planned
        What somebody agreed to; if it is not what would be done now, nothing is.
    why
        A word to remember.

    Raises
    ------
    CallError
        If it is not what was planned, or the words of ``why`` cannot be kept.
    NotFoundError, AmbiguousError, ForkError, NoAnswerError
        As ``undo_plan``.
    """
    from riglog.interchange.forms import note

    reason = note(why.strip())
    recorded: list[str] = []
    told: list[Undone] = []
    with library.logbook.writing() as log:
        describer = Describer(library)
        if planned is not None and undo_plan(library, words) != planned:
            hint = "ask again: riglog undo --dry-run"
            raise CallError("somebody recorded something meanwhile; nothing was undone", hint=hint)
        for entry in _entries(library, words):
            reversal = undoing.plan(log, entry)
            told.append(_told(library, describer, reversal))
            made = undoing.record(log, reversal, library.author, reason)
            recorded.extend(each.id for each in made)
    return UndoAnswer(done=True, undone=told, recorded=recorded)


def _entries(library: Library, words: Sequence[str]) -> list[Entry]:
    if not words:
        return [undoing.last_of(library.logbook, library.author)]
    found = [_named(library, word) for word in words]
    things = [entry.subject for entry in found if entry.kind in NOUNS]
    names = [entry.id for entry in found]
    if len(set(names)) < len(names) or len(set(things)) < len(things):
        raise CallError("one thing is named twice", hint="undo one version of it after the other")
    return found


def _named(library: Library, word: str) -> Entry:
    try:
        return library.version(word).entry
    except NotFoundError as error:
        return entry_named(library, word, error)


def _told(library: Library, describer: Describer, reversal: Reversal) -> Undone:
    log, version = library.logbook, ""
    if reversal.heads:
        version = str(1 + max(log.version_of(head).number for head in reversal.heads))
    elif reversal.entry.kind in NOUNS and reversal.back:
        version = log.version_of(reversal.back[0]).name
    return Undone(
        describer.described(reversal.entry),
        reversal.how,
        describer.all(reversal.back),
        reversal.changed,
        version,
    )
