"""`correct`: an entry that takes the place of one that says something wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import AmbiguousError, CallError, NoAnswerError, listed
from riglog.jobs.described import Describer
from riglog.jobs.version_answers import CorrectAnswer
from riglog.library.correcting import corrected, corrected_body, record_correction
from riglog.library.forks import only_head, version_words, weighed_apart
from riglog.library.reversing import changed_fields
from riglog.library.targets import target
from riglog.logbook import NOUNS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.library import Library
    from riglog.logbook import Entry, Reader
    from riglog.logbook.entry import Body


def correct_plan(library: Library, words: str, changes: Sequence[str]) -> CorrectAnswer:
    """What ``correct`` would do, without doing it; raises as it does."""
    log, entry = library.logbook, _entry(library, words)
    body = corrected_body(log, entry, corrected(log, entry, changes))
    fields = _told(entry.body, body or entry.body)
    return CorrectAnswer(Describer(library).described(entry), None, fields, dry_run=True)


def correct(library: Library, words: str, changes: Sequence[str]) -> CorrectAnswer:
    """Correct a reading, or the newest version of a thing.

    Parameters
    ----------
    words
        The start of a reading's id, or ``ID`` of a thing.
    changes
        ``KEY=VALUE`` each, as documents have them.

    Raises
    ------
    CallError
        If a change is none, or its result is no reading or thing.
    NotFoundError, AmbiguousError, ForkError
        If the words do not name one entry.
    NoAnswerError
        If something took its place already.
    """
    with library.logbook.writing() as log:
        entry = _entry(library, words)
        made = record_correction(log, entry, corrected(log, entry, changes), library.author)
    describer = Describer(library)
    fields = _told(entry.body, made.body if made else entry.body)
    return CorrectAnswer(
        describer.described(entry), describer.described(made) if made else None, fields
    )


def _told(old: Body, new: Body) -> tuple[str, ...]:
    """Fields that differ, beside where the rig stood."""
    return tuple(name for name in changed_fields(old, new) if not name.startswith("stand"))


def _entry(library: Library, words: str) -> Entry:
    log, meant = library.logbook, target(library, words)
    if meant.entry is None:
        return _only_one(log, meant.kind, meant.subject)
    entry = meant.entry
    if entry.kind not in {*NOUNS, "reading"}:
        hint = f"riglog undo {entry.id[:8]} takes it back"
        raise CallError(f"a {entry.kind} is not corrected", hint=f"say it anew; {hint}")
    if fate := Describer(library).fate(entry):
        hint = f"correct {fate.entry[:8]}" if fate.how == "corrected" else "it counts no longer"
        raise NoAnswerError(f"{fate.by} {fate.how} it already", hint=hint)
    return entry


def _only_one(log: Reader, kind: str, name: str) -> Entry:
    """The newest version of a thing; where several were weighed apart, one has to be named."""
    heads = log.heads(kind, name)
    if weighed_apart(heads):
        versions = listed([version_words(log.version_of(head)) for head in heads])
        raise AmbiguousError(f"{name} was weighed more than once", hint=f"name one: {versions}")
    return only_head(log, kind, name)
