"""What can go wrong, and with which exit status a call then ends.

::

    RiglogError                     message, hint, findings, status
    +-- CallError            2      the words of the call are wrong
    |   +-- DocumentError    2      a document or bundle is wrong: carries findings
    |   +-- AmbiguousError   2      part of an id that fits several
    |   +-- QuantityError    2      a text that is no quantity of the wanted unit
    |   +-- UnsaidError      2      what only a person can say was not said: carries what is asked
    +-- NoAnswerError        3      the question has no answer
    |   +-- NotFoundError    3      no such record
    |   +-- ForkError        3      two heads that nobody settled
    |   +-- UnreachableError 3      no such drop time, or a mark outside the travel
    +-- LibraryError         4      the library cannot be used, is foreign, read-only or damaged
    +-- BusyError            5      somebody else writes, or the disk is full: try again

Status 1 is Python's own, so a 1 is always a fault of the program. Status 130 is an interrupt.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

_SHOWN = 60


class Finding(NamedTuple):
    """Something wrong in a person's data: where it stands, what it is, and the mend."""

    file: str
    line: int
    message: str
    mend: str = ""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}: " if self.line else f"{self.file}: "
        return f"{place}{self.message}{f'; {self.mend}' if self.mend else ''}"


class RiglogError(Exception):
    """Base of all that the program raises on purpose.

    Parameters
    ----------
    message
        What is wrong, in one sentence without a full stop.
    hint
        What to do about it.
    findings
        What is wrong in the data, where that is the cause.

    Attributes
    ----------
    beside
        What JSON tells beside the error.
    """

    status: ClassVar[int] = 4

    def __init__(self, message: str, *, hint: str = "", findings: tuple[Finding, ...] = ()) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint
        self.findings = findings
        self.beside: Mapping[str, object] = {}

    def __str__(self) -> str:
        return f"{self.message}; {self.hint}" if self.hint else self.message


class CallError(RiglogError):
    """The words of the call are wrong."""

    status = 2


class DocumentError(CallError):
    """A document is wrong; the findings say where."""


class AmbiguousError(CallError):
    """Part of an id fits several records."""


class QuantityError(CallError):
    """A text is no quantity of the wanted unit."""


class UnsaidError(CallError):
    """The call leaves open what only a person can say.

    Parameters
    ----------
    message, hint
        As of any error.
    asked
        What was not said, one for each word that is missing.
    """

    def __init__(self, message: str, *, hint: str, asked: Sequence[object]) -> None:
        super().__init__(message, hint=hint)
        self.asked = asked


class NoAnswerError(RiglogError):
    """The question is well put and has no answer."""

    status = 3


class NotFoundError(NoAnswerError):
    """There is no such record."""


class ForkError(NoAnswerError):
    """Two people changed the same thing apart from each other and nobody settled it."""


class UnreachableError(NoAnswerError):
    """No mark gives this drop time, or the mark lies outside the travel."""


class LibraryError(RiglogError):
    """The library cannot be used, is foreign, read-only or damaged."""

    status = 4


class BusyError(RiglogError):
    """Somebody else is writing, or there is no room: try again."""

    status = 5


def quoted(text: str) -> str:
    """A person's words as a message shows them: short, on one line, harmless to a terminal."""
    shown = text if len(text) <= _SHOWN else text[: _SHOWN - 3] + "..."
    return '"' + "".join(c if c.isprintable() else ascii(c)[1:-1] for c in shown) + '"'


def name_shown(name: str) -> str:
    """A name as it is, and anything else in quotes."""
    plain = name.isascii() and name.translate({45: None, 46: None, 95: None}).isalnum()
    return name if plain and len(name) <= _SHOWN else quoted(name)


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that is most like this one, or "" where none is near."""
    from difflib import get_close_matches  # only on the way to a message

    return next(iter(get_close_matches(word[:_SHOWN], list(known), n=1, cutoff=0.6)), "")


def listed(words: Iterable[str], last: str = "or") -> str:
    """``a, b or c``."""
    *head, tail = list(words) or ["none"]
    return f"{', '.join(head)} {last} {tail}" if head else tail


def mend_word(word: str, known: Iterable[str]) -> str:
    """Mend for an unknown word: the nearest known one, else all of them."""
    words = list(known)
    near = nearest(word, words)
    return f"did you mean {near}?" if near else f"write {listed(words)}"
