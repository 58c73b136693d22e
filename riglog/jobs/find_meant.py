"""What a search that found nothing may have meant: options that were typed as words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import CallError, name_shown
from riglog.library.clock import today
from riglog.library.days import days_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.jobs.find_question import Question

# Words that stand before an option's value where its dashes were left out.
_BEFORE = {"with", "on", "the", "from"}
_LONGEST_DAY = 3


def meant(question: Question) -> str:
    """The search with words that name a day or stand for an option as options; or nothing."""
    days, rest = _day(question.rest)
    words = [word for word in rest if word.casefold() not in _BEFORE]
    if words == list(question.rest):
        return ""
    options = [*(f"--with {name}" for name in question.components), *_on(days)]
    options += [f"--rig {name}" for name in question.rigs]
    if not options:
        return ""
    search = [*question.builds, *map(name_shown, words), *options]
    return f"did you mean: riglog find {' '.join(search)}"


def _on(days: str) -> Iterator[str]:
    if days:
        yield f'--on "{days}"' if " " in days else f"--on {days}"


def _day(words: Sequence[str]) -> tuple[str, list[str]]:
    """The longest run of words that mean days, and the others."""
    for length in range(_LONGEST_DAY, 0, -1):
        for start in range(len(words) - length + 1):
            run = " ".join(words[start : start + length])
            if _means_days(run):
                return run, [*words[:start], *words[start + length :]]
    return "", list(words)


def _means_days(words: str) -> bool:
    try:
        days_of(words, today())
    except CallError:
        return False
    return True
