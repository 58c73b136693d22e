"""What a jotted line is read against, and its words one by one."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError
from riglog.jobs.jots import Doubt
from riglog.library.adjusters import reach
from riglog.units import METER, parse_loose, show

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from riglog.jobs.exchange import Change
    from riglog.jobs.jots import DoubtKind
    from riglog.records import Adjuster, Setting


_CLOCK = re.compile(r"(?P<hour>[01][0-9]|2[0-3])(?P<minute>[0-5][0-9])")


class Scene(NamedTuple):
    """What a line is read against: the build as it stands, and what there is beside it.

    Parameters
    ----------
    type
        Of the rig.
    stood
        Where the pivot stands.
    adjusters
        Those of the build, by the names that settings have.
    component
        The id of the component that a word is, however it is spelled; None if it is none.
    like
        Ids of components that a word is a part of.
    part
        The part on the build that a word is.
    change
        ``OLD=NEW`` by exact ids.
    fit
        Changes that put components on the build, after other changes.
    ask
        Whether a doubtful thing is meant; None where nobody can be asked.
    """

    type: str
    stood: Setting | None
    adjusters: Mapping[str, Adjuster]
    component: Callable[[str], str | None]
    like: Callable[[str], Sequence[str]]
    part: Callable[[str], str | None]
    change: Callable[[str], Change]
    fit: Callable[[Sequence[str], Sequence[Change]], Sequence[Change]]
    ask: Callable[[Doubt], bool] | None = None

    @property
    def pivot(self) -> Adjuster:
        """The adjuster that marks are readings of."""
        return self.adjusters["pivot"]

    def fits(self, text: str) -> bool:
        """Whether the pivot's travel, if it is known, has that reading."""
        low, high = reach(self.pivot) or (-math.inf, math.inf)
        return low <= parse_loose(text, METER, self.pivot.unit) <= high

    def explained(self, error: CallError, text: str) -> CallError:
        """A refusal of a mark, with what else the figure may have been meant for."""
        if match := _CLOCK.fullmatch(text):
            hint = f"a time of day is written {match['hour']}:{match['minute']}"
        elif lens := self.component(f"lens-{text.removesuffix('mm')}"):
            hint = f"the lens is written {lens}"
        elif text.endswith("mm"):
            hint = "a lens is written by its id"
        else:
            return error
        return CallError(error.message, hint=f"{error.hint}; {hint}")

    def stayed(self) -> Setting:
        """The mark of drop times without one after parts were exchanged, if it stayed.

        Raises
        ------
        CallError
            If it did not, or nobody can be asked.
        """
        message, hint = "there is no mark, and parts were exchanged", "write the mark too"
        if not isinstance(self.stood, float):
            raise CallError(message, hint=hint)
        self.refuse_unless("stays", "", show(self.stood, self.pivot.unit), message, hint)
        return self.stood

    def is_meant(self, kind: DoubtKind, said: str, meant: str, message: str, hint: str) -> bool:
        """Whether a doubtful thing is meant.

        Raises
        ------
        CallError
            With message and hint, if nobody can be asked.
        """
        if self.ask is None:
            raise CallError(message, hint=hint)
        return self.ask(Doubt(kind, said, meant))

    def refuse_unless(
        self, kind: DoubtKind, said: str, meant: str, message: str, hint: str
    ) -> None:
        """Refuse a doubtful thing unless it is meant."""
        if not self.is_meant(kind, said, meant, message, hint):
            raise CallError(message, hint=hint)


class Words:
    """The words of a line that were not read yet; what ends them like a list is left off."""

    def __init__(self, text: str) -> None:
        self._rest = text.split()
        self.ended = False

    def __bool__(self) -> bool:
        return bool(self._rest)

    @property
    def next(self) -> str:
        """The next word; empty at the end."""
        return self._rest[0].rstrip(",;:") if self._rest else ""

    @property
    def second(self) -> str:
        """The word behind the next one; empty where there is none."""
        return self._rest[1].rstrip(",;:") if len(self._rest) > 1 else ""

    @property
    def next_small(self) -> str:
        """The next word in small letters."""
        return self.next.casefold()

    def take(self) -> str:
        """Read the next word; ``ended`` then says whether it ended a list."""
        word = self._rest.pop(0)
        self.ended = word.endswith((",", ";"))
        return word.rstrip(",;:")

    def run(self, word: str, count: int) -> str:
        """The word that was taken last and so many behind it, with what stands between them."""
        first = f"{word}," if self.ended and count else word
        return " ".join([first, *self._rest[:count]]).rstrip(",;:")

    def skip(self, count: int) -> None:
        """Leave so many words unread."""
        del self._rest[:count]

    def put_back(self, words: Iterable[str]) -> None:
        """Have words read next."""
        self._rest[:0] = words
