"""The bare figures of a jotted line: one is the mark, some are drop times, some are of its words.

The clear part of a line is what stands before any word of a note; behind one it begins again with
a mark or with ``drops``, unless there were times before. A figure elsewhere is asked about, but a
whole number beside a word is of that word (take 4, 2 people) where the line has times without it.
"""

from __future__ import annotations

from itertools import takewhile
from statistics import median
from typing import TYPE_CHECKING

from riglog.errors import CallError, quoted
from riglog.jobs.common import LONGEST_S
from riglog.jobs.jot_figures import seconds
from riglog.units import show

if TYPE_CHECKING:
    from riglog.jobs.jot_figures import Figures
    from riglog.jobs.jot_scene import Scene
    from riglog.jobs.jot_tokens import Token, Tokens

# A drop of more seconds is rare, and more often a point was left out.
USUAL_S = 15.0
# Further from where it stood than this [m], a digit may be wrong.
FAR_M = 0.05
# Repeats of one drop are never as far apart by chance: mostly within a tenth.
FAR_RATIO = 1.5

_NOTE = "or note: before what is only a note"


def sort(scene: Scene, figures: Figures, tokens: Tokens) -> tuple[float, ...]:
    """Take one bare figure for the mark if none was told, and return the drop times [s].

    What is neither becomes a word of the note.

    Raises
    ------
    CallError
        If one is neither, or could be several things and nobody can be asked.
    """
    return _Sorting(scene, figures, tokens).sorted()


class _Sorting:
    def __init__(self, scene: Scene, figures: Figures, tokens: Tokens) -> None:
        self._scene = scene
        self._figures = figures
        self._tokens = tokens
        self._said: list[Token] = []  # somebody was asked and said that they are times

    def sorted(self) -> tuple[float, ...]:
        """Take what is told first, then what is left open."""
        counted = self._counted()
        self._mark()
        self._refuse_no_times()
        clear = self._clear()
        bare = self._tokens.of("figure")
        told = [each for each in bare if each in clear and not self._beside_word(each)]
        for each in told:
            each.kind = "time"
        whole = bool(self._tokens.of("time"))
        words = [each for each in bare if each not in told and not self._is_time(each, whole)]
        times = self._tokens.of("time")
        self._mind_nothing_else(times, words)
        self._mind_long(told)
        self._mind_far(times, clear)
        times = self._tokens.of("time")
        self._mind_count(counted, times)
        return tuple(seconds(each.text, each.text) for each in times)

    def _counted(self) -> Token | None:
        """The 3 of ``3 drops 3.0 3.1 3.2``."""
        for label in self._tokens.of("label"):
            before = self._tokens.before(label)
            if before and before.kind == "figure" and before.is_whole and _may_be_time(before):
                before.kind, label.text = "count", f"{before.text} {label.text}"
                return label
        return None

    def _mark(self) -> None:
        """The first bare figure that is no time is the mark, if there is no other."""
        figures = self._tokens.of("figure")
        if self._figures.mark is not None or not figures:
            return
        beyond = [each for each in figures if not _may_be_time(each)]
        free = [each for each in beyond if self._is_free(each)]
        if beyond:
            self._take_mark((free or beyond)[0], sure=bool(free))
        elif not self._behind_word(figures[0]) and self._scene.fits(figures[0].text):
            self._either(figures[0])

    def _is_free(self, token: Token) -> bool:
        """Whether a mark stands before all words, or behind them and before all times."""
        before = list(takewhile(lambda each: each is not token, self._tokens))
        first = list(takewhile(lambda each: each.kind != "word", before))
        if len(first) == len(before):
            return True
        timed = any(each.kind in {"figure", "time"} and not self._of_word(each) for each in first)
        return not timed and not (token.is_whole and self._behind_word(token))

    def _of_word(self, token: Token) -> bool:
        """The 2 of ``2 batteries``, which is not the last of several figures."""
        before = self._tokens.before(token)
        return self._beside_word(token) and (before is None or before.kind != "figure")

    def _either(self, first: Token) -> None:
        """The first of figures that could all be times may be the mark."""
        text, unit = first.text, self._scene.pivot.unit
        message = f"{quoted(text)} could be the mark or a drop time"
        if self._scene.is_meant("mark", text, "", message, f"write {text}{unit} or {text}s"):
            self._figures.set("pivot", text)
            first.kind = "mark"

    def _take_mark(self, token: Token, *, sure: bool) -> None:
        text, scene = token.text, self._scene
        if not scene.fits(text) or _is_clock(text):
            self._refuse_mark(text)
        message = f"{quoted(text)} stands behind a word and could be the mark"
        if not sure and not scene.is_meant(
            "mark", text, "", message, f"write mark {text}, {_NOTE}"
        ):
            token.kind = "word"
            return
        self._figures.set("pivot", text)
        token.kind = "mark"
        self._mind_far_mark(text)

    def _refuse_mark(self, text: str) -> None:
        try:
            self._figures.set("pivot", text)
        except CallError as error:
            raise self._scene.explained(error, text) from error
        no_mark = CallError(f"{quoted(text)} is no mark", hint="write it without the 0 in front")
        raise self._scene.explained(no_mark, text)

    def _mind_far_mark(self, text: str) -> None:
        stood, unit, mark = self._scene.stood, self._scene.pivot.unit, self._figures.mark
        if not (isinstance(stood, float) and isinstance(mark, float)):
            return
        if abs(mark - stood) > FAR_M:
            at, by = show(stood, unit), show(abs(mark - stood), unit)
            message = f"{quoted(text)} is {by} from {at}, where it stood"
            self._scene.refuse_unless(
                "far", text, at, message, f"write {text}{unit} if it is the mark"
            )

    def _refuse_no_times(self) -> None:
        """Beside the mark only a time can stand, or a number of a word that is no mark either."""
        for each in self._tokens.of("figure"):
            if _may_be_time(each):
                continue
            of_word = each.is_whole and self._behind_word(each) and not self._scene.fits(each.text)
            if not of_word:
                raise CallError(
                    f"{quoted(each.text)} is no drop time, and there is a mark already",
                    hint=f"write one line for each mark, {_NOTE}",
                )
            each.kind = "word"

    def _clear(self) -> list[Token]:
        """Figures in the clear part of the line."""
        found: list[Token] = []
        clear, timed = True, False
        for each in self._tokens:
            if each.kind == "word":
                clear = False
            elif each.kind == "condition":
                clear = clear and not timed
            elif each.kind in {"mark", "label"}:
                clear = clear or not timed
            elif each.kind in {"figure", "time"}:
                timed = timed or each.kind == "time" or (clear and not self._of_word(each))
                found += [each] if clear else []
        return found

    def _behind_word(self, token: Token) -> bool:
        before = self._tokens.before(token)
        return before is not None and before.kind == "word"

    def _beside_word(self, token: Token) -> bool:
        """Whether a whole number may be of a word beside it."""
        before, after = self._tokens.before(token), self._tokens.after(token)
        beside = before is not None and before.kind in {"word", "condition", "label"}
        return token.is_whole and (beside or (after is not None and after.kind == "word"))

    def _is_time(self, token: Token, timed: bool) -> bool:
        """Whether a figure that is not clear is a time; else it becomes a word."""
        message = f"{quoted(token.text)} stands among words and could be a drop time"
        hint = f"write {token.text}s if it is one, {_NOTE}"
        of_word = timed and token.is_whole and not self._goes_on(token)
        if of_word or not self._scene.is_meant("time", token.text, "", message, hint):
            token.kind = "word"
        else:
            token.kind = "time"
            self._said.append(token)
        return token.kind == "time"

    def _goes_on(self, token: Token) -> bool:
        """Whether a number stands behind times, or behind ``drops``, as one more of them."""
        before = self._tokens.before(token)
        return before is not None and before.kind in {"time", "label"}

    def _mind_nothing_else(self, times: list[Token], words: list[Token]) -> None:
        """Bare times and numbers among words, without mark, part or time of day, are doubtful."""
        bare = [each for each in times if each.bare]
        if not (bare and words) or self._tokens.of("mark", "part", "count"):
            return
        said = " ".join(each.text for each in bare)
        message = f"{quoted(said)} could be drop times, or numbers among words"
        hint = f"write {' '.join(f'{each.text}s' for each in bare)}, or the mark too"
        if not self._scene.is_meant("time", said, "", message, hint):
            for each in bare:
                each.kind = "word"

    def _mind_long(self, told: list[Token]) -> None:
        for each in told:
            if each.kind == "time" and float(each.text) > USUAL_S:
                message = f"{quoted(each.text)} is long for a drop"
                hint = f"write {each.text}s if it is one"
                self._scene.refuse_unless("time", each.text, "", message, hint)
                self._said.append(each)

    def _mind_far(self, times: list[Token], clear: list[Token]) -> None:
        """A time far from the others is doubtful, unless its unit stands in the clear part."""
        told = [each for each in times[::-1] if each.kind == "time"]
        usual = median(float(each.text) for each in told) if len(told) > 2 else None
        # Of two, one is as far from the other: a whole number is it sooner, then the later.
        for each in sorted(told, key=lambda token: not token.is_whole):
            other = next((one for one in told if one is not each), each)
            apart = float(each.text) / (float(other.text) if usual is None else usual)
            if max(apart, 1 / apart) <= FAR_RATIO or (each in clear and not each.bare):
                continue
            if each not in self._said:
                message = f"{quoted(each.text)} is far from the other drop times"
                hint = f"write {each.text}s beside them if it is one, {_NOTE}"
                self._scene.refuse_unless("time", each.text, "", message, hint)
            if usual is None:
                return

    def _mind_count(self, counted: Token | None, times: list[Token]) -> None:
        """``3 drops`` with two times behind it lacks one, or is no count."""
        if counted is None or len(times) == int(counted.text.partition(" ")[0]):
            return
        meant = "1 time" if len(times) == 1 else f"{len(times)} times"
        message = f"{quoted(counted.text)} stands with {meant}"
        hint = f"write them all, {_NOTE}"
        self._scene.refuse_unless("count", counted.text, meant, message, hint)
        counted.kind = "word"


def _is_clock(text: str) -> bool:
    """``0945`` is a time of day and no mark."""
    return text.isdigit() and len(text) == 4 and text.startswith("0")


def _may_be_time(token: Token) -> bool:
    return token.text[0] in ".0123456789" and 0 < float(token.text) <= LONGEST_S
