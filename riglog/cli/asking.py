"""Questions on a terminal, for what only a person can say; elsewhere the call is refused."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, TypeVar, cast

from riglog.cli import output
from riglog.errors import UnsaidError, listed

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from riglog.jobs.conversion import Unsaid
    from riglog.jobs.jots import Doubt
    from riglog.jobs.swap_words import Conversion

T = TypeVar("T")


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
        if as_json or not _is_terminal():
            raise
        said = _asked(conversion, cast("Sequence[Unsaid]", error.asked))
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
        if not said.strip():
            keep.append(each.part)
        else:
            (turn if each.kind == "monitor" else by).append(f"{each.part}={said.strip()}")
    return conversion._replace(by=by, turn=turn, keep=keep)


def _question(unsaid: Unsaid, mode: str) -> str:
    if unsaid.kind == "monitor":
        question = f"By how much is {unsaid.part} turned in {mode} mode, as 180deg"
    else:
        mounts = f" ({listed(unsaid.mounts)})" if unsaid.mounts else ""
        question = f"Which of its mounts{mounts} does {unsaid.part} hang by in {mode} mode"
    return f"{question}? Nothing: it stays as it is."
