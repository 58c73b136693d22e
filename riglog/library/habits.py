"""Where each person stops the watch: asked once, and kept in the log."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from riglog.library.forks import newest
from riglog.logbook import Draft, now
from riglog.records import to_body

if TYPE_CHECKING:
    from riglog.logbook import Reader, Transaction
    from riglog.records.habit import Habit
    from riglog.records.readings.drop import Method, TimedTo

KIND = "habit"


def subject_of(author: str, method: Method) -> str:
    """What a habit is filed under."""
    return f"{author} {method}"


def said(log: Reader, author: str, method: Method) -> TimedTo | None:
    """Where a person said to stop the watch; None where nobody asked."""
    heads = log.heads(KIND, subject_of(author, method))
    return cast("TimedTo", newest(heads).body["timed_to"]) if heads else None


def record_habit(log: Transaction, habit: Habit) -> None:
    """Keep what a person said; the same again records nothing."""
    subject = subject_of(habit.author, habit.method)
    heads, body = log.heads(KIND, subject), to_body(habit)
    if heads and newest(heads).body == body:
        return
    parents = tuple(head.id for head in heads)
    draft = Draft(
        kind=KIND, subject=subject, at=now(), author=habit.author, body=body, parents=parents
    )
    log.append([draft])
