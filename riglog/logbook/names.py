"""Which id a person means: an exact one, or an unambiguous part of one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import AmbiguousError, CallError, NotFoundError, listed, quoted

if TYPE_CHECKING:
    from collections.abc import Sequence

_LISTED = 12


def pick(words: str, known: Sequence[str], noun: str) -> str:
    """The known id that the words mean.

    Parameters
    ----------
    words
        As typed; capitals do not matter, and a space stands for a hyphen.
    known
        All ids that could be meant.
    noun
        What they are, for the messages.

    Raises
    ------
    AmbiguousError
        If the words are part of several.
    NotFoundError
        If they are part of none; the hint names those that are near.
    CallError
        If there are no words.
    """
    part = "-".join(words.casefold().split())
    if not part:
        raise CallError(f"no {noun} is named", hint="an id or a part of one is wanted")
    found = [part] if part in known else [each for each in known if part in each]
    if len(found) == 1:
        return found[0]
    if found:
        raise AmbiguousError(f"{quoted(words)} fits several", hint=_several(found))
    raise NotFoundError(f"there is no {noun} {quoted(words)}", hint=_near(part, known, noun))


def _several(found: Sequence[str]) -> str:
    more = [f"{len(found) - _LISTED} more"] if len(found) > _LISTED else []
    return f"it could mean {listed([*found[:_LISTED], *more])}"


def _near(part: str, known: Sequence[str], noun: str) -> str:
    from difflib import get_close_matches  # only on the way to a message

    if near := get_close_matches(part[:64], known, n=3, cutoff=0.5):
        return f"did you mean {listed(near)}?"
    return (
        f"riglog list {noun if noun != 'record' else 'build'}s shows what there is"
        if known
        else f"there is no {noun} yet"
    )
