"""Questions on a terminal, for what only a person can say; elsewhere the call is refused."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, TypeVar, cast

from riglog.cli import output
from riglog.errors import UnsaidError, listed

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from riglog.jobs.jots import Doubt
    from riglog.jobs.swap_words import Conversion
    from riglog.jobs.unsaid import Unsaid

T = TypeVar("T")
_BASE = "base"


def until_said(answer: Callable[[Conversion], T], conversion: Conversion, *, as_json: bool) -> T:
    """The answer, once everything that a conversion needs is said.

    Raises
    ------
    UnsaidError
        If something is missing and nobody can be asked, or nobody answers.
    """
    try:
        return answer(conversion)
    except UnsaidError as error:
        unsaid = cast("Sequence[Unsaid]", error.asked)
        if as_json or not _is_terminal() or not all(each.can_be_asked for each in unsaid):
            raise
        said = _asked(conversion, unsaid)
        if said is None:
            raise
        return answer(said)


def where_stopped(*, as_json: bool) -> Callable[[], str | None] | None:
    """Asks where the watch was stopped; None where nobody can be asked."""
    return None if as_json or not _is_terminal() else _where_stopped


def _where_stopped() -> str | None:
    """What was said, or nothing: then upright is taken, and it is asked again."""
    output.complain(
        "Do you stop the watch at the first pass through upright, or where it turns at the far"
        " side?\nupright or far-side, asked this once:"
    )
    said = sys.stdin.readline().strip().casefold()
    return _STOPS.get(said, said) or None


_STOPS = {
    "u": "upright",
    "up": "upright",
    "f": "far-side",
    "far": "far-side",
    "far side": "far-side",
}


def is_meant() -> Callable[[Doubt], bool] | None:
    """Asks on the terminal whether a doubtful thing is meant; None where nobody can be asked."""
    return _is_meant if _is_terminal() else None


def _is_meant(doubt: Doubt) -> bool:
    from riglog.wording.log import question

    output.complain(question(doubt))
    return sys.stdin.readline().strip().casefold() in {"y", "yes"}


def _is_terminal() -> bool:
    return bool(sys.stdin and sys.stdin.isatty() and sys.stderr.isatty())


def _asked(conversion: Conversion, unsaid: Sequence[Unsaid]) -> Conversion | None:
    by, turn, keep = list(conversion.by), list(conversion.turn), list(conversion.keep)
    for each in unsaid:
        output.complain(_question(each, conversion.mode or ""))
        said = sys.stdin.readline()
        if not said:  # closed, as by Ctrl-D
            return None
        word = said.strip()
        if not word:
            keep.append(each.part)
        elif not each.ways:
            turn.append(f"{each.part}={word}")
        else:
            by.append(f"{each.part}={'' if _is_base(word, each) else word}")
    return conversion._replace(by=by, turn=turn, keep=keep)


def _is_base(word: str, unsaid: Unsaid) -> bool:
    """Whether a word means the base of a part, and not a mount that is called so."""
    return word.casefold() == _BASE and _BASE not in unsaid.free


def _question(unsaid: Unsaid, mode: str) -> str:
    if not unsaid.ways:
        now = f", {unsaid.turn} now," if unsaid.turn else ""
        more = "more " if unsaid.turn else ""
        question = f"By how much {more}is {unsaid.part}{now} turned in {mode} mode, as 180deg"
    else:
        mounts = listed(mount or _BASE for mount in unsaid.free)
        does = "sit on or hang by" if "" in unsaid.free else "hang by"
        question = f"What does {unsaid.part} {does} in {mode} mode: {mounts}"
    return f"{question}? Nothing: it stays as it is."
