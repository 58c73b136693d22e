"""The two side pivots of a ring as typed: ``212mm,213mm`` or ``212/213``, the left one first.

A comma may be a decimal one, and a stroke in inches a fraction. What can be two things is told by
the travel, or asked about; whatever the program prints of two sides is read back as the same two.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, QuantityError, quoted
from riglog.records import PivotPair
from riglog.units import METER, parse_loose, show

if TYPE_CHECKING:
    from collections.abc import Iterator

# Further apart, no camera would still sit in its frame: a digit is wrong.
MOST_APART_M = 0.05
_DECIMAL = re.compile(r"[-+]?[0-9]+,[0-9]+ *[a-z]*")
_INCHES = re.compile(r"in|ft")
_UNIT = re.compile(r"([a-z]+)$")
# Parts of an inch that a scale is engraved in; 3/3 and 76/77 are none.
_FRACTION = re.compile(r"[-+]?[0-9]+/(?:2|4|8|16|32|64)(?![0-9])(?P<unit> *in)?")

Span = tuple[float, float]


class _Pair(NamedTuple):
    """Two texts that may be a side each, and what they say."""

    words: tuple[str, str]
    read: PivotPair

    @property
    def apart_m(self) -> float:
        return abs(self.read.left - self.read.right)

    def within(self, travel: Span) -> bool:
        low, high = travel
        return all(low <= each <= high for each in (self.read.left, self.read.right))


def parse_sides(text: str, unit: str, travel: Span | None = None) -> PivotPair | None:
    """The readings of both sides; None where the text is one reading, or none.

    Parameters
    ----------
    text
        ``212mm,213mm``, ``212/213``; in inches ``3in,3 1/8in``.
    unit
        What a bare figure is in, unless the other one says.
    travel
        Readings that the pivot can stand at [m], which tell between two that the text could be.

    Raises
    ------
    QuantityError
        If a side is no length.
    CallError
        If the two are too far apart to be two sides, or it could be one reading as well.

    Examples
    --------
    >>> parse_sides("212mm,213mm", "mm")
    PivotPair(left=0.212, right=0.213)
    >>> parse_sides("3/3 1/8 in", "in") == parse_sides("3in,3 1/8in", "in")
    True
    """
    plain = " ".join(text.replace("\u2212", "-").split())
    found = list(_commas(plain, unit) if "," in plain else _strokes(plain, unit))
    near = [pair for pair in found if pair.apart_m <= MOST_APART_M]
    one = _as_one(plain, unit)
    if one is None and not near and found:
        apart = show(found[0].apart_m, unit)
        message = f"{quoted(text)} sets the two sides {apart} apart"
        raise CallError(message, hint="read both scales again")
    if one is None or not near:
        return near[0].read if near else None
    return _told_apart(text, one, near[0], unit, travel)


def are_sides(text: str, unit: str) -> bool:
    """Whether a text can only be two readings with a comma between, whatever rig it is.

    Examples
    --------
    >>> are_sides("221.5,222.5", "mm"), are_sides("212,213", "mm"), are_sides("1,250.5", "mm")
    (True, False, False)
    """
    return (
        "," in text
        and not _DECIMAL.fullmatch(text)
        and any(pair.apart_m <= MOST_APART_M for pair in _commas(text, unit))
    )


def _told_apart(
    text: str, one: str, pair: _Pair, unit: str, travel: Span | None
) -> PivotPair | None:
    """What can be one reading and two sides: a fraction of an inch that says so is one."""
    fraction = _FRACTION.fullmatch(one)
    if fraction and fraction["unit"]:
        return None
    if travel is not None:
        reading = parse_loose(one, METER, unit)
        alone = travel[0] <= reading <= travel[1]
        if alone != pair.within(travel):
            return None if alone else pair.read
    both = ",".join(re.sub(" (?=[a-z])", "", side) for side in pair.words)
    hint = f"write {_with_unit(one, unit)}, or {both} for left and right"
    raise CallError(f"{quoted(text)} could be one reading or both sides", hint=hint)


def _as_one(plain: str, unit: str) -> str | None:
    """The text as one reading, where it can be one."""
    if "," in plain:
        return plain.replace(",", ".") if _DECIMAL.fullmatch(plain) else None
    if "/" not in plain:
        return plain
    if not _in_inches(plain, unit) or plain.count("/") > 1:
        return None
    fraction = _FRACTION.search(plain)
    try:
        parse_loose(plain, METER, unit)
    except QuantityError:
        return None
    return plain if fraction and not _is_whole(fraction.group()) else None


def _is_whole(fraction: str) -> bool:
    over, under = re.findall("[0-9]+", fraction)
    return int(over) >= int(under)


def _in_inches(plain: str, unit: str) -> bool:
    """Whether a stroke may stand in a fraction; of a millimeter nobody writes one."""
    return bool(_INCHES.search(plain)) or (unit == "in" and not re.search("[a-z]", plain))


def _commas(plain: str, unit: str) -> Iterator[_Pair]:
    """What stands before a comma and behind it, unless that is no length and a decimal comma."""
    left, _, right = plain.partition(",")
    if "," in right or not all(re.search("[0-9]", word) for word in (left, right)):
        return
    try:
        yield _pair(left, right, unit)
    except QuantityError:
        if not _DECIMAL.fullmatch(plain):
            raise


def _strokes(plain: str, unit: str) -> Iterator[_Pair]:
    """Each stroke that has a length on either side."""
    for stroke in re.finditer("/", plain):
        words = plain[: stroke.start()], plain[stroke.end() :]
        if any(_is_improper(word) for word in words):
            continue
        try:
            yield _pair(*words, unit)
        except QuantityError:
            continue


def _is_improper(word: str) -> bool:
    return any(_is_whole(fraction) for fraction in re.findall(r"[0-9]+/[0-9]+", word))


def _pair(left: str, right: str, unit: str) -> _Pair:
    """Both sides, the unit of one standing for both where the other has none."""
    said = _said(right) or _said(left) or unit
    words = left.strip(), right.strip()
    one, two = (parse_loose(word, METER, said) for word in words)
    texts = _with_unit(words[0], said), _with_unit(words[1], said)
    return _Pair(texts, PivotPair(left=one, right=two))


def _said(word: str) -> str:
    match = _UNIT.search(word.strip())
    return match[1] if match else ""


def _with_unit(word: str, unit: str) -> str:
    return word if _said(word) else f"{word} {unit}"
