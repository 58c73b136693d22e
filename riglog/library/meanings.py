"""What stands after an @: a version's number, a day, a name, or the start of an entry's id."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from riglog.errors import AmbiguousError, CallError, NotFoundError, listed, quoted
from riglog.library.forks import forked, is_fork, version_words
from riglog.library.standing import Meant, is_by, moment

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from riglog.logbook import Entry, Reader, Version

_NUMBER = r"\d{1,9}(\.[0-9a-f]*)?"
_DAY = r"\d{4}-\d\d(-\d\d(T\d\d(:\d\d(:\d\d)?)?)?)?"
_AS = "write a day as yesterday, friday, 2026-03-14 or 2026-03-14T09:10"
TODAY, YESTERDAY = "today", "yesterday"


def means_time(word: str) -> bool:
    """Whether a word after the @ tells a time."""
    return word in {TODAY, YESTERDAY} or re.fullmatch(_DAY, word, re.ASCII) is not None


def may_name(word: str) -> bool:
    """Whether a word could name a version, and nothing else that may stand after the @."""
    return not means_time(word) and re.fullmatch(_NUMBER, word, re.ASCII) is None


def meant(log: Reader, kind: str, thing: str, word: str) -> Meant:
    """What ``thing@word`` means.

    Raises
    ------
    CallError
        If there is no such day.
    NotFoundError
        If the thing has no such version, or had none by then.
    AmbiguousError
        If several are called so.
    ForkError
        If there were two heads by then.
    """
    word = word.casefold() if "T" not in word else word
    if may_name(word) and (named := named_so(log, thing, word)):
        return _of_name(log, thing, word, named)
    if until := _until(word):
        return Meant(version_by(log, kind, thing, until), until)
    try:
        return Meant(log.version(kind, thing, word))
    except NotFoundError as error:
        names = sorted({each.body["name"] for each in log.heads("name", thing)})
        called = f", named {listed(names)}" if names else ""
        hint = f"{error.hint}{called}{f'; or {_AS}' if may_name(word) else ''}"
        raise NotFoundError(error.message, hint=hint) from error


def _until(word: str) -> str:
    """The day or the hour that a word means here and now; empty if it means none.

    Raises
    ------
    CallError
        If it is written as a day, and there is none such.
    """
    from datetime import datetime

    from riglog.library.clock import today
    from riglog.library.days import days_of, end_of

    if re.fullmatch(_NUMBER, word, re.ASCII):
        return ""
    try:
        if re.fullmatch(_DAY, word, re.ASCII):
            _ = datetime.fromisoformat(word) if "T" in word else days_of(word, today())
            return word
        return end_of(word, today())
    except (CallError, ValueError):
        if re.match(r"\d{4}-\d\d", word, re.ASCII) is None:
            return ""
        raise CallError(f"there is no such day as {quoted(word)}", hint=_AS) from None


def version_by(log: Reader, kind: str, thing: str, until: str) -> Version:
    """The version of a thing that was the newest at the end of a day.

    What a version came from was there before it, and so was a version before what was read of it,
    whatever the clocks say.

    Raises
    ------
    NotFoundError
        If there was none yet.
    ForkError
        If there were two.
    """
    versions = {each.entry.id: each for each in log.versions(kind, thing)}
    there = {name for name, each in versions.items() if is_by(each.entry.at, until)}
    if kind == "build":
        there.update(_read_by(log, thing, until) & versions.keys())
    there = _with_ancestors(there, versions)
    passed = {parent for name in there for parent in versions[name].entry.parents}
    heads = [each for name, each in versions.items() if name in there - passed]
    if not heads:
        read = [each.body["on"] for each in log.readings_of(thing)] if kind == "build" else []
        times = [*read, *(each.entry.at for each in versions.values())]
        first = min(times, key=moment, default="")[:10]
        hint = f"the first is of {first}" if first else f"riglog list {kind}s shows what there is"
        raise NotFoundError(f"{thing} had no version by {until}", hint=hint)
    if is_fork([each.entry for each in heads]):
        raise forked(log, [each.entry for each in heads])
    return min(heads, key=lambda each: each.entry.id)


def _read_by(log: Reader, build: str, until: str) -> set[str]:
    """Versions of a build of which something was read by a day, even if recorded later."""
    return {
        each.body["stand"]["version"]
        for each in log.readings_of(build)
        if is_by(each.body["on"], until)
    }


def _with_ancestors(there: Iterable[str], versions: dict[str, Version]) -> set[str]:
    found: set[str] = set()
    waiting = list(there)
    while waiting:
        name = waiting.pop()
        if name in versions and name not in found:
            found.add(name)
            waiting.extend(versions[name].entry.parents)
    return found


def named_so(log: Reader, thing: str, name: str) -> list[Entry]:
    """Entries that give a name to a version of a thing; more than one where two people did."""
    return [each for each in log.heads("name", thing) if each.body["name"] == name]


def _of_name(log: Reader, thing: str, word: str, named: Sequence[Entry]) -> Meant:
    versions = [log.version_of(log.entry(each.body["entry"])) for each in named]
    if any(each.body != named[0].body for each in named):
        ways = [
            f"{version_words(version)}, so named by {name.author} {name.at[:10]}"
            for version, name in zip(versions, named, strict=True)
        ]
        message = f"{thing} has several states {quoted(word)}"
        raise AmbiguousError(message, hint=f"name one by its version: {listed(ways)}")
    return Meant(versions[0], named=named[-1])
