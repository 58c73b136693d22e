"""The figures of a jotted line: readings that say of what, times with a unit, and bare ones."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from riglog.errors import CallError, quoted
from riglog.jobs.common import LONGEST_S
from riglog.jobs.jot_sides import sides_text
from riglog.jobs.jot_tokens import BARE, FIGURE, has_other_unit, of_other_units
from riglog.library.adjusters import checked_mark, checked_setting, named_adjuster
from riglog.units import SECOND, parse_loose

if TYPE_CHECKING:
    from riglog.jobs.jot_scene import Scene, Words
    from riglog.jobs.jot_tokens import Tokens
    from riglog.records import Setting

MARKS = ("mark", "pivot", "gimbal", "pivots", "at", "@")

_FRACTION = re.compile(r"[0-9]+/[0-9]+(?:in|\")?")
_UNITS = ("mm", "cm", "in", '"', "s", "sec", "secs", "seconds")
_LENGTH = re.compile(rf"(?:{FIGURE}|[0-9]+/[0-9]+)(?:mm|cm|m|in|\")|[0-9]+ [0-9]+/[0-9]+(?:in|\")?")
_SECONDS = re.compile(rf"(?P<figure>{FIGURE})(?:s|sec|secs|seconds)", re.IGNORECASE)
_COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+(?:/[0-9]+,[0-9]+)*(?:mm|cm|in|s)?")
_REPEATS = re.compile(r"(?P<count>[2-9])[x\u00d7]", re.IGNORECASE)
_STROKES = re.compile(r"[0-9.]+(?:/[0-9.]+)+")
_NEARLY = re.compile(r"[\w-]*[0-9][\w.,:/-]*")
_AROUND = "()[]{}<>*!?'\"=\u00b1"


class Figures:
    """What was understood of figures that say of what they are; the others become tokens."""

    def __init__(self, scene: Scene, tokens: Tokens) -> None:
        self._scene = scene
        self._tokens = tokens
        self.mark: Setting | None = None
        self.settings: dict[str, Setting] = {}

    def set(self, name: str, text: str) -> None:
        """Take a reading of an adjuster.

        Raises
        ------
        CallError
            If it is none, beyond the travel, or a second one.
        """
        if name in self.settings or (name == "pivot" and self.mark is not None):
            raise CallError(f"{quoted(text)} is a second reading of {name}", hint="keep one")
        scale = self._scene.adjusters[name]
        if name == "pivot":
            self.mark = checked_mark(scale, text, self._scene.type)
        else:
            self.settings[name] = checked_setting(scale, name, text)

    def slide(self, word: str, words: Words) -> bool:
        """``mark 489``, ``@489``, ``stage-side -6``: a name and a figure behind it."""
        if BARE.match(word[1:]) and word.startswith("@"):
            words.put_back([word[1:]])
            word = "@"
        if not re.match(r"[-+\u2212]?[.0-9]", words.next) or has_other_unit(words):
            return False
        if word.casefold() == "at" and ":" in words.next:
            self._tokens.add("joint")
            return True
        said = word.casefold()
        if said in MARKS:
            name = "pivot"
        elif any(said == each or each.startswith(f"{said}-") for each in self._scene.adjusters):
            name = named_adjuster(word, self._scene.adjusters)
        else:
            return False
        first = words.take()
        sides = sides_text(first, words, self._scene, named=True) if name == "pivot" else None
        self.set(name, sides or _joined(first, words))
        self._tokens.add("mark")
        return True

    def sides(self, word: str, words: Words) -> bool:
        """Both side pivots of a ring: ``212/213``, ``212mm,213mm``, ``3 in, 3 1/8 in``."""
        if self.mark is not None:
            return False
        sides = sides_text(word, words, self._scene, named=False)
        if sides is not None:
            self.set("pivot", sides)
            self._tokens.add("mark")
        return sides is not None

    def quantity(self, word: str, words: Words) -> bool:
        """A figure with its unit is what the unit says."""
        if of_other_units(word, words, self._tokens):
            return True
        text = _joined(word, words) if word[0] in "+-.\u22120123456789" else word
        if _LENGTH.fullmatch(text):
            self._length(text)
        elif match := _SECONDS.fullmatch(text):
            seconds(match["figure"], text)
            self._tokens.add("time", match["figure"])
        else:
            return False
        return True

    def _length(self, text: str) -> None:
        """A length is the mark, unless it stands behind a word that may be about another."""
        before = self._tokens.before()
        if before and before.kind == "word" and not self._scene.fits(text):
            self._tokens.add("word", text)
            return
        if before and before.kind == "word":
            message = f"{quoted(text)} behind {quoted(before.text)} may be no mark"
            hint = f"write mark {text}, or note: before what is only a note"
            if not self._scene.is_meant("mark", text, "", message, hint):
                self._tokens.add("word", text)
                return
        try:
            self.set("pivot", text)
        except CallError as error:
            raise self._scene.explained(error, text) from error
        self._tokens.add("mark")

    def comma(self, word: str, words: Words) -> bool:
        """A figure with a comma, which is most often a point."""
        if not _COMMA.fullmatch(word):
            return False
        meant = word.replace(",", ".")
        self._scene.refuse_unless(
            "comma", word, meant, f"{quoted(word)} has a comma", f"write {meant}"
        )
        words.put_back([meant])
        return True

    def bare(self, word: str, words: Words) -> bool:
        """A figure without a unit, or several with strokes between."""
        if BARE.fullmatch(word):
            self._tokens.add("figure", word, ends=words.ended)
        elif _STROKES.fullmatch(word) and "." in word:
            words.put_back(word.split("/"))
        else:
            return False
        return True

    def repeats(self, word: str, words: Words) -> bool:
        """``2x 3.0``: the same time twice, unless the 2x is something else."""
        match = _REPEATS.fullmatch(word)
        if not match or not BARE.fullmatch(words.next):
            return False
        time = words.take()
        said, meant = f"{word} {time}", " ".join([time] * int(match["count"]))
        message = f"{quoted(said)} could be {meant}, or a part and {time}"
        self._scene.refuse_unless("repeats", said, meant, message, f"write {meant}")
        words.put_back(meant.split())
        return True

    def refuse(self, word: str) -> None:
        """Refuse what looks like a figure that somebody meant.

        Raises
        ------
        CallError
            If it does.
        """
        if _NEARLY.fullmatch(word) or BARE.fullmatch(word.strip(_AROUND)):
            raise CallError(
                f"{quoted(word)} is no part, mark or drop time that is known here",
                hint="mend it, or write note: before what is only a note",
            )


def _joined(word: str, words: Words) -> str:
    """A figure with the fraction or the unit that stands behind it as a word of its own."""
    if word.isdigit() and _FRACTION.fullmatch(words.next):
        word = f"{word} {words.take()}"
    if word[-1:].isdigit() and words.next_small in _UNITS:
        word += words.take().casefold()
    return word


def seconds(figure: str, text: str) -> float:
    """A drop time [s].

    Raises
    ------
    CallError
        If no drop takes as long.
    """
    time_s = parse_loose(figure, SECOND, "s")
    if not 0 < time_s <= LONGEST_S:
        hint = f"a drop takes more than 0 and at most {LONGEST_S:.0f} s"
        raise CallError(f"{quoted(text)} is no drop time", hint=hint)
    return time_s
