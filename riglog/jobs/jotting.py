"""Lines as people jot them on a phone or a printed form, read word by word.

Whatever could be two things is asked about, or refused where nobody can be asked.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from riglog.errors import CallError, quoted
from riglog.jobs.condition_words import SAID
from riglog.jobs.exchange import Change
from riglog.jobs.jot_figures import MARKS, Figures
from riglog.jobs.jot_scene import Scene, Words
from riglog.jobs.jot_sorting import sort
from riglog.jobs.jot_tokens import Tokens, joint, label
from riglog.jobs.jots import Jot

if TYPE_CHECKING:
    from riglog.records.readings.measured import Condition

_DAY = re.compile(r"(?P<day>[0-9]{4}-[0-9]{2}-[0-9]{2})(?:T(?P<time>[0-9]{1,2}:[0-9]{2}))?")
_CLOCK = re.compile(
    r"(?P<hour>[0-9]{1,2})[:h](?P<minute>[0-9]{2})(?P<half>am|pm)?:?", re.IGNORECASE
)
_NOTE = re.compile(r"(?:^|(?<=\s))(?:note:|//)", re.IGNORECASE)
_BULLET = re.compile(r"\s*(?:[-*\u2013\u2022]\s+|\[.?\]\s+)*")

_NO = ("no", "not", "without", "less", "minus")


def read_line(text: str, scene: Scene) -> Jot:
    """What a line says.

    Raises
    ------
    CallError
        If a word of it is none that can be understood, or could be two things and nobody says.
    """
    plain = _BULLET.sub("", text, count=1)
    note = ""
    if match := _NOTE.search(plain):
        plain, note = plain[: match.start()], plain[match.end() :]
    return _Line(Words(plain), scene).read(note)


class _Line:
    """The words of a line, and what was understood of those that were read."""

    def __init__(self, words: Words, scene: Scene) -> None:
        self._words = words
        self._scene = scene
        self._tokens = Tokens()
        self._figures = Figures(scene, self._tokens)
        self._day: str | None = None
        self._time: str | None = None
        self._names: list[str] = []
        self._changes: list[Change] = []
        self._conditions: list[Condition] = []

    def read(self, note: str) -> Jot:
        """Take one word after another, each by the first that knows it."""
        words = self._words
        while words:
            word = words.take()
            if word and not self._is_known(word) and not self._is_guessed(word):
                self._figures.refuse(word)
                self._tokens.add("word", word)
        return self._jot(note)

    def _is_known(self, word: str) -> bool:
        figures, words = self._figures, self._words
        own = (
            self._calendar, self._clock, self._exchange, self._removal, self._part,
            self._condition,
        )  # fmt: skip
        counted = (
            figures.slide, figures.sides, figures.repeats, figures.quantity, figures.comma,
            figures.bare,
        )  # fmt: skip
        return (
            any(step(word) for step in own)
            or any(step(word, words) for step in counted)
            or any(step(word, words, self._tokens) for step in (label, joint))
        )

    def _jot(self, note: str) -> Jot:
        from riglog.interchange.forms import line

        figures = self._figures
        times_s = sort(self._scene, figures, self._tokens)
        changes = tuple(self._scene.fit(self._names, self._changes))
        if changes and times_s and figures.mark is None:
            figures.mark = self._scene.stayed()
        return Jot(
            day=self._day,
            time=self._time,
            changes=changes,
            mark=figures.mark,
            settings=figures.settings,
            times_s=times_s,
            conditions=tuple(self._conditions),
            note=line(" ".join(filter(None, [self._tokens.note, *note.split()]))),
        )

    def _calendar(self, word: str) -> bool:
        if not (match := _DAY.fullmatch(word)):
            return False
        from riglog.interchange.forms import day

        if self._day is not None:
            raise CallError(f"{quoted(word)} is a second day", hint="write one line for each")
        self._day = day(match["day"])
        return self._clock(match["time"]) if match["time"] else True

    def _clock(self, word: str) -> bool:
        if not (match := _CLOCK.fullmatch(word)):
            return False
        hour, minute = int(match["hour"]), int(match["minute"])
        half = match["half"] or (self._words.take() if self._words.next_small in _HALVES else "")
        if half and 0 < hour <= _NOON:
            hour = hour % _NOON + (_NOON if half.casefold() == "pm" else 0)
        elif half or hour >= 2 * _NOON:
            hour = -1
        if hour < 0 or minute >= _HOUR:
            raise CallError(f"{quoted(word)} is no time of day", hint="write it as 14:20")
        if self._time is not None:
            raise CallError(f"{quoted(word)} is a second time", hint="write one line for each")
        self._time = f"{hour:02d}:{minute:02d}"
        self._tokens.add("part")
        return True

    def _exchange(self, word: str) -> bool:
        """``OLD=NEW`` and its like, and ``ADJUSTER=READING``."""
        name, equals, reading = word.partition("=")
        if not equals:
            return False
        name = "pivot" if name in MARKS else name
        if name in self._scene.adjusters:
            self._figures.set(name, reading)
        else:
            self._changes.append(self._scene.change(word))
        self._tokens.add("mark" if name in self._scene.adjusters else "part")
        return True

    def _removal(self, word: str) -> bool:
        """``no hood``, ``hood off``, ``-hood``."""
        part = None
        if word.casefold() in _NO:
            part = self._scene.part(self._words.next)
        elif self._words.next_small == "off":
            part = self._scene.part(word)
        elif word.startswith("-"):
            part = self._scene.part(word[1:])
        if part is None:
            return False
        if not word.startswith("-"):
            self._words.take()
        self._changes.append(Change(part, None))
        self._tokens.add("part")
        return True

    def _part(self, word: str) -> bool:
        """A component by its id, however it is spelled: ``lens-75``, ``Lens75``, ``lens 75``."""
        word = word.removeprefix("+")
        name = None
        if word.isalpha() and self._words.next:
            name = self._scene.component(f"{word}-{self._words.next}")
        if name is not None:
            self._words.take()
        else:
            name = self._scene.component(word)
        if name is None:
            return False
        self._fitted(name)
        return True

    def _fitted(self, name: str) -> None:
        self._names.append(name)
        self._tokens.add("part")
        if self._words.next_small == "on":
            self._words.take()

    def _is_guessed(self, word: str) -> bool:
        """A word that is a part of one component's id may mean it."""
        found = self._scene.like(word)
        if len(found) != 1:
            return False
        message = f"{quoted(word)} may be {found[0]}"
        hint = f"write {found[0]}, or note: before what is only a note"
        if not self._scene.is_meant("part", word, found[0], message, hint):
            return False
        self._fitted(found[0])
        return True

    def _condition(self, word: str) -> bool:
        said = word.casefold().strip(".!?()")
        if said in _NO and self._words.next_small in SAID:
            self._tokens.add("word", f"{word} {self._words.take()}")
            return True
        if said == "rain" and self._words.next_small.strip(".!?()") == "cover":
            self._words.take()
            said = "rain-cover"
        if said not in SAID:
            return False
        if SAID[said] not in self._conditions:
            self._conditions.append(SAID[said])
        self._tokens.add("condition")
        return True


_HALVES = ("am", "pm")
_NOON, _HOUR = 12, 60
