"""`name`: a name for a version, and for how a build stands in it, to be found after an @."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import CallError, quoted
from riglog.jobs.described import Describer
from riglog.jobs.version_answers import NameAnswer
from riglog.library.meanings import may_name
from riglog.library.remarks import name as record
from riglog.records.limits import is_id

if TYPE_CHECKING:
    from riglog.library import Library


def name(library: Library, words: str, called: str) -> NameAnswer:
    """Name a version of a thing; of a build also where every adjuster stands.

    Raises
    ------
    CallError
        If the name is none, or could be taken for a number or a day.
    NotFoundError, AmbiguousError, ForkError
        If the words do not name one version.
    """
    _check(called)
    with library.logbook.writing() as log:
        meant = library.meant(words)
        version = meant.version
        standing = library.stands(meant) if version.entry.kind == "build" else None
        kept, before = record(log, version, standing, called, library.author)
    describer = Describer(library)
    return NameAnswer(describer.described(kept.entry), kept.new, describer.all(before))


def _check(called: str) -> None:
    if not is_id(called):
        hint = "write it like night-wide: a to z, 0 to 9, -"
        raise CallError(f"{quoted(called)} is no name for a state", hint=hint)
    if not may_name(called):
        what = "a day" if "-" in called or not called.isdigit() else "a version's number"
        raise CallError(f"{quoted(called)} would be taken for {what}", hint="choose a word")
