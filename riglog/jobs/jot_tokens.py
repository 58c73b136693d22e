"""The words of a jotted line by what they are, before its bare figures are sorted."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Literal

from riglog.errors import CallError, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.jot_scene import Words

# ``word`` is one of a note, ``joint`` one that parts nothing; ``figure`` is bare, ``time`` one with
# its unit; ``mark`` and ``label`` say what follows; ``part`` is a part or a time of day.
Kind = Literal["word", "joint", "condition", "label", "figure", "time", "mark", "part", "count"]

FIGURE = r"[-+\u2212]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)"
BARE = re.compile(FIGURE)

_LABELS = ("drop", "drops", "dropped", "time", "times", "timed")
_JOINTS = ("and", "then", "to", "now", "so")
_NEAR = ("about", "approx", "approximately", "around", "roughly", "circa", "ca", "c", "~", "\u2248")
_STROKES = "-\u2013\u2014>\u2192|&+/"
_SIGNED = re.compile(rf"[~\u2248](?P<figure>{FIGURE}\w*)")
_MASSES = ("g", "kg", "lb", "lbs", "oz")
_OTHERS = (
    "deg", "degs", "degree", "degrees", "\u00b0", "m/s", "km/h", "kmh", "kph", "mph", "kt", "kn",
    "knots", "m", "ft", "feet", "%", "percent", "rpm", "fps", "hz", "v", "volts", "min", "mins",
    "minutes", "h", "hrs", "hours", "turn", "turns", "click", "clicks", "stop", "stops",
)  # fmt: skip
_WITH_UNIT = re.compile(rf"(?P<figure>{FIGURE})(?P<unit>[^\W\d_][\w/]*|[\u00b0%])\.?")
_TIME_LIKE = re.compile(rf"{FIGURE}.*")


class Token:
    """A word of a line, or a figure, ``bare`` if no unit stands behind it."""

    def __init__(self, kind: Kind, text: str, *, ends: bool = False) -> None:
        self.kind = kind
        self.bare = kind == "figure"
        self.text = text
        self.ends = ends

    @property
    def is_whole(self) -> bool:
        """Whether it is a whole number, as takes, scenes and people are counted."""
        return self.text.isdigit()


class Tokens:
    """Those of a line, in their order."""

    def __init__(self) -> None:
        self._all: list[Token] = []

    def __iter__(self) -> Iterator[Token]:
        return iter(self._all)

    def add(self, kind: Kind, text: str = "", *, ends: bool = False) -> None:
        """Take one more; ``ends`` says that a comma or the like stands behind it."""
        self._all.append(Token(kind, text, ends=ends))

    def of(self, *kinds: Kind) -> list[Token]:
        """Those of some kinds."""
        return [each for each in self._all if each.kind in kinds]

    def before(self, token: Token | None = None) -> Token | None:
        """The one before, past joints; without a token the last one."""
        end = len(self._all) if token is None else self._index(token)
        return next((each for each in reversed(self._all[:end]) if each.kind != "joint"), None)

    def after(self, token: Token) -> Token | None:
        """The one behind, past joints; none where a comma or the like stands between."""
        rest = self._all[self._index(token) + 1 :]
        following = next((each for each in rest if each.kind != "joint"), None)
        return None if token.ends else following

    def _index(self, token: Token) -> int:
        return next(index for index, each in enumerate(self._all) if each is token)

    @property
    def note(self) -> str:
        """What is left for the note."""
        return " ".join(each.text for each in self.of("word", "joint") if each.text)


def of_other_units(word: str, words: Words, tokens: Tokens) -> bool:
    """``3 deg``, ``5m/s``: a figure with the unit of something else is a word of a note.

    Raises
    ------
    CallError
        If it is a mass, which is worth a weighing.
    """
    text, unit = f"{word} {words.next}", words.next_small.rstrip(".")
    behind = BARE.fullmatch(word) is not None and unit in (*_MASSES, *_OTHERS)
    match = _WITH_UNIT.fullmatch(word)
    if not behind:
        text, unit = word, match["unit"].casefold() if match else ""
    if unit in _MASSES:
        hint = "record it with riglog weigh, or write note: before what is only a note"
        raise CallError(f"{quoted(text)} is a mass", hint=hint)
    if not behind and (unit not in _OTHERS or unit == "m"):
        return False
    if behind:
        words.take()
    tokens.add("word", text)
    return True


def has_other_unit(words: Words) -> bool:
    """Whether the figure that is next has the unit of something else behind it."""
    return words.second.casefold().rstrip(".") in (*_MASSES, *_OTHERS)


def joint(word: str, words: Words, tokens: Tokens) -> bool:
    """What parts nothing: ``and``, a dash, and ``about`` or ``~`` before a figure."""
    said = word.casefold().rstrip(".")
    if match := _SIGNED.fullmatch(word):
        words.put_back([match["figure"]])
        tokens.add("joint", word)
    elif said in _NEAR and _TIME_LIKE.match(words.next):
        tokens.add("joint", f"{word} {words.next}")
    elif said in _JOINTS or not any(c.isalnum() for c in word):
        tokens.add("joint", word.strip(_STROKES))
    else:
        return False
    return True


def label(word: str, words: Words, tokens: Tokens) -> bool:
    """``drops 3.0 3.1``: a word that says what the figures behind it are."""
    if word.casefold() not in _LABELS or not _TIME_LIKE.match(words.next):
        return False
    tokens.add("label", word)
    return True
