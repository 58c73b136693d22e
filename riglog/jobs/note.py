"""`note`: words about anything, beside what it says itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import CallError
from riglog.jobs.described import Describer
from riglog.jobs.version_answers import NoteAnswer
from riglog.library.remarks import say
from riglog.library.targets import target

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.library import Library


def note(library: Library, about: str, words: Sequence[str]) -> NoteAnswer:
    """Note something on a thing, a version of it, or any entry.

    Parameters
    ----------
    about
        ``ID``, ``ID@VERSION`` or the start of an entry's id.
    words
        As typed; they are joined by spaces.

    Raises
    ------
    CallError
        If there are no words, or they hold what cannot be kept.
    NotFoundError, AmbiguousError, ForkError
        If ``about`` does not name one thing.
    """
    from riglog.interchange.forms import note as checked

    text = checked(" ".join(words).strip())
    if not text:
        raise CallError("there is nothing to note", hint="write the words behind the name")
    with library.logbook.writing() as log:
        kept = say(log, "note", target(library, about), {"text": text}, library.author)
    return NoteAnswer(Describer(library).described(kept.entry), kept.new)
