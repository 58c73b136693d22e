"""The figures of a jotted line: one mark at most, readings of slides, and drop times."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from riglog.errors import CallError, quoted
from riglog.jobs.common import LONGEST_S
from riglog.library.adjusters import checked_mark, checked_setting, named_adjuster
from riglog.library.sides import parse_sides
from riglog.units import METER, SECOND, parse_loose, show

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.jot_scene import Scene, Words
    from riglog.records import PivotPair, Setting

# A drop of more seconds is rare, and more often a point was left out.
USUAL_S = 15.0
# Further from where it stood than this [m], a digit may be wrong.
FAR_M = 0.05
MARKS = ("mark", "pivot", "gimbal", "pivots", "at", "@")

_FIGURE = r"[-+\u2212]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)"
_BARE = re.compile(_FIGURE)
_FRACTION = re.compile(r"[0-9]+/[0-9]+(?:in|\")?")
_UNITS = ("mm", "cm", "in", '"', "s", "sec", "secs")
_LENGTH = re.compile(
    rf"(?:{_FIGURE}|[0-9]+/[0-9]+)(?:mm|cm|m|in|\")|[0-9]+ [0-9]+/[0-9]+(?:in|\")?"
)
_SECONDS = re.compile(rf"(?P<figure>{_FIGURE})(?:s|sec|secs)", re.IGNORECASE)
_COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+(?:mm|cm|in|s)?")
_STROKES = re.compile(r"[0-9.]+(?:/[0-9.]+)+")
_SIDES = re.compile(r"(?P<left>[0-9.]+(?:mm|cm|in)?)[,/](?P<right>[0-9.]+(?:mm|cm|in)?)")
_NEARLY = re.compile(r"[\w-]*[0-9][\w.,:/-]*")


class Figures:
    """What was understood of the figures."""

    def __init__(self, scene: Scene) -> None:
        self._scene = scene
        self._bare: list[str] = []
        self.mark: Setting | None = None
        self.settings: dict[str, Setting] = {}
        self.times_s: list[float] = []

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
        """``mark 489``, ``stage-side -6``: a name and a figure behind it."""
        if not re.match(r"[-+\u2212]?[.0-9]", words.next):
            return False
        said = word.casefold()
        if said in MARKS:
            name = "pivot"
        elif any(said == each or each.startswith(f"{said}-") for each in self._scene.adjusters):
            name = named_adjuster(word, self._scene.adjusters)
        else:
            return False
        self.set(name, _joined(words.take(), words))
        return True

    def sides(self, word: str, _words: Words) -> bool:
        """Both side pivots of a ring: ``212/213``, ``212mm,213mm``."""
        sides = self._sides_of(word) if self.mark is None else None
        if sides is not None:
            self.set("pivot", word)
        return sides is not None

    def _sides_of(self, text: str) -> PivotPair | None:
        match = _SIDES.fullmatch(text)
        if self._scene.type != "ring" or match is None:
            return None
        if not all(_is_length(side) and self._fits(side) for side in match.groups()):
            return None
        return parse_sides(text, self._scene.pivot.unit)

    def quantity(self, word: str, words: Words) -> bool:
        """A figure with its unit is what the unit says."""
        text = _joined(word, words) if word[0] in "+-.\u22120123456789" else word
        if _LENGTH.fullmatch(text):
            self.set("pivot", text)
        elif match := _SECONDS.fullmatch(text):
            self.times_s.append(_seconds(match["figure"], text))
        else:
            return False
        return True

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
        if _BARE.fullmatch(word):
            self._bare.append(word)
        elif _STROKES.fullmatch(word) and "." in word:
            words.put_back(word.split("/"))
        else:
            return False
        return True

    def refuse(self, word: str) -> None:
        """Refuse what looks like a figure that somebody meant.

        Raises
        ------
        CallError
            If it does.
        """
        if _NEARLY.fullmatch(word):
            raise CallError(
                f"{quoted(word)} is no part, mark or drop time that is known here",
                hint="mend it, or write note: before what is only a note",
            )

    def sort(self) -> None:
        """Take one bare figure for the mark if none was told, and the others for times.

        Raises
        ------
        CallError
            If one is neither, or could be both and nobody can be asked.
        """
        figures = self._bare
        no_times = [index for index, text in enumerate(figures) if not _may_be_time(text)]
        if no_times and self.mark is None:
            self._take_mark(figures.pop(no_times[0]))
        elif figures and self.mark is None and self._fits(figures[0]):
            self._either(figures)
        for text in figures:
            self._take_time(text)

    def _fits(self, text: str) -> bool:
        """Whether the pivot's travel, if it is known, has that reading."""
        scale = self._scene.pivot
        low, high = scale.travel or (-1e6, 1e6)
        reading = parse_loose(text, METER, scale.unit)
        return low - scale.step / 2 <= reading <= high + scale.step / 2

    def _either(self, figures: list[str]) -> None:
        """The first of figures that could all be times may be the mark."""
        first, unit = figures[0], self._scene.pivot.unit
        message = f"{quoted(first)} could be the mark or a drop time"
        if self._scene.is_meant("mark", first, "", message, f"write {first}{unit} or {first}s"):
            self.set("pivot", figures.pop(0))

    def _take_mark(self, text: str) -> None:
        self.set("pivot", text)
        stood, unit = self._scene.stood, self._scene.pivot.unit
        if not (isinstance(stood, float) and isinstance(self.mark, float)):
            return
        if abs(self.mark - stood) > FAR_M:
            at, by = show(stood, unit), show(abs(self.mark - stood), unit)
            message = f"{quoted(text)} is {by} from {at}, where it stood"
            self._scene.refuse_unless(
                "far", text, at, message, f"write {text}{unit} if it is the mark"
            )

    def _take_time(self, text: str) -> None:
        if not _may_be_time(text):
            raise CallError(
                f"{quoted(text)} is no drop time, and there is a mark already",
                hint="write one line for each mark",
            )
        if float(text) > USUAL_S:
            message = f"{quoted(text)} is long for a drop"
            self._scene.refuse_unless("time", text, "", message, f"write {text}s if it is one")
        self.times_s.append(_seconds(text, text))

    def check_stays(self, changed: Sequence[object]) -> None:
        """Refuse drop times without a mark after parts were exchanged, unless it stayed.

        Raises
        ------
        CallError
            If it did not, or nobody can be asked.
        """
        if not (changed and self.times_s and self.mark is None):
            return
        stood = self._scene.stood
        message, hint = "there is no mark, and parts were exchanged", "write the mark too"
        if not isinstance(stood, float):
            raise CallError(message, hint=hint)
        self._scene.refuse_unless("stays", "", show(stood, self._scene.pivot.unit), message, hint)
        self.mark = stood


def _joined(word: str, words: Words) -> str:
    """A figure with the fraction or the unit that stands behind it as a word of its own."""
    if word.isdigit() and _FRACTION.fullmatch(words.next):
        word = f"{word} {words.take()}"
    if word[-1:].isdigit() and words.next_small in _UNITS:
        word += words.take().casefold()
    return word


def _is_length(text: str) -> bool:
    return re.fullmatch(rf"{_FIGURE}(?:mm|cm|in)?", text) is not None


def _may_be_time(text: str) -> bool:
    return text[0] in ".0123456789" and 0 < float(text) <= LONGEST_S


def _seconds(figure: str, text: str) -> float:
    seconds = parse_loose(figure, SECOND, "s")
    if not 0 < seconds <= LONGEST_S:
        hint = f"a drop takes more than 0 and at most {LONGEST_S:.0f} s"
        raise CallError(f"{quoted(text)} is no drop time", hint=hint)
    return seconds
