"""What `log` answers with."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import DocumentError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from riglog.errors import Finding
    from riglog.jobs.answers import Warned
    from riglog.jobs.jots import Jot
    from riglog.records import Adjuster, Setting


class Line(NamedTuple):
    """A line as it was understood and recorded.

    ``meant`` is the line in words that mean just this. ``after`` says what was exchanged, ``gone``
    and ``come`` are those parts; ``slides`` is where the other adjusters are taken to stand after
    it, as a trimmed rig would have them, ``untrimmed`` why that is not known. ``version`` and
    ``entry`` are the new version of the build, ``reading`` the drop test, ``remark`` the note; all
    empty where there is none, or nothing was recorded. ``already`` says that the very line had
    been logged before, ``again`` when, if it has no time of its own. ``day_only``
    lines set the day of those below.
    """

    number: int
    meant: str
    jot: Jot
    on: str = ""
    after: str = ""
    gone: tuple[str, ...] = ()
    come: tuple[str, ...] = ()
    mark: Setting | None = None
    slides: Mapping[str, Setting] | None = None
    untrimmed: str = ""
    version: str = ""
    entry: str = ""
    reading: str = ""
    remark: str = ""
    already: bool = False
    again: str = ""
    day_only: bool = False


class OddDate(NamedTuple):
    """Lines of one day whose date cannot be right."""

    warned: Warned
    lines: Sequence[int]


class LogAnswer(NamedTuple):
    """Every line that was understood, in its order, and those that were not.

    ``later`` names the version that the lines were read against where it was recorded after their
    day and others before it; ``odd`` are dates that cannot be right.
    """

    build: str
    file: str
    adjusters: Mapping[str, Adjuster]
    lines: Sequence[Line]
    refused: Sequence[Finding]
    dry_run: bool
    later: str = ""
    odd: Sequence[OddDate] = ()


class PageError(DocumentError):
    """Lines are not understood, and so nothing was recorded.

    Parameters
    ----------
    message, hint
        As of any error.
    answer
        What would be recorded, and a finding for each line that is not understood.
    """

    def __init__(self, message: str, *, hint: str, answer: LogAnswer) -> None:
        super().__init__(message, hint=hint, findings=tuple(answer.refused))
        self.answer = answer
