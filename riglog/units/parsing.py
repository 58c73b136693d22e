"""Text to SI: exact arithmetic, rounded once, and a mend for whatever cannot be read."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

from riglog.errors import QuantityError, quoted
from riglog.units.complaints import complaint
from riglog.units.symbols import FACTORS, factor

if TYPE_CHECKING:
    from fractions import Fraction

    from riglog.units.kinds import Unit

LONGEST = 64
# Beyond it, squares and products of quantities would leave the range of a float.
GREATEST = 1e6
LEAST = 1e-30

# The true minus sign; non-breaking and thin spaces are white space to ``str.split``.
_PLAIN = str.maketrans({"\u2212": "-"})

NUMBER = r"(?:(?:[0-9]+ +)?[0-9]+/[0-9]+|(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?)"
_BARE = re.compile(rf"[+-]? *{NUMBER}")


def parse(text: str, unit: Unit) -> float:
    """A quantity in SI from words such as ``482 mm``, ``18 3/8 in`` or ``2 lb 4 oz``.

    Parameters
    ----------
    text
        Number and unit symbol, or several of falling size; one sign, before all of them.
    unit
        What is wanted.

    Returns
    -------
    float
        In ``unit.si``: the exact value of the text, rounded once; never -0.0.

    Raises
    ------
    QuantityError
        If the text is no quantity of that unit. The hint says what to write.

    Examples
    --------
    >>> from riglog.units import KILOGRAM
    >>> parse("2 lb 4 oz", KILOGRAM)
    1.0205828325
    """
    plain = normalize(text)
    terms = _terms(plain, unit) if len(text) <= LONGEST else []
    if not terms or not _fit(terms):
        message, hint = complaint(plain, unit)
        raise QuantityError(message, hint=hint)
    total = sum(number(figure) * factor(symbol) for figure, symbol in terms)
    value = float(-total if plain.startswith("-") else total)
    _check_size(plain, value)
    return value


def _check_size(plain: str, value: float) -> None:
    if abs(value) > GREATEST:
        message = f"{quoted(plain)} is more than any rig has"
        raise QuantityError(message, hint="check the figure and its unit")
    if 0 < abs(value) < LEAST:
        raise QuantityError(f"{quoted(plain)} is next to nothing", hint="write 0")


def parse_loose(text: str, unit: Unit, symbol: str) -> float:
    """Like ``parse``, where a bare number is taken in ``symbol``, as the place implies.

    Parameters
    ----------
    text
        ``487mm``, or ``487`` on a scale in millimeters.
    unit
        What is wanted.
    symbol
        The unit of a bare number, such as ``mm``.

    Raises
    ------
    QuantityError
        As ``parse``.
    """
    return parse(f"{text} {symbol}" if _BARE.fullmatch(normalize(text)) else text, unit)


def normalize(text: str) -> str:
    """The text with plain spaces and minus signs."""
    return " ".join(text.translate(_PLAIN).split())


def number(text: str) -> Fraction:
    """Exact value of a figure that ``NUMBER`` matches."""
    from fractions import Fraction

    whole, _, part = text.rpartition(" ")
    return Fraction(part) + int(whole.strip() or "0")


def _terms(plain: str, unit: Unit) -> list[tuple[str, str]]:
    """Figure and symbol of each term; empty if the text is anything but terms of that unit."""
    rest = plain.removeprefix("-") if plain.startswith("-") else plain.removeprefix("+")
    terms = []
    while rest := rest.strip():
        match = _term(unit.si).match(rest)
        if not match or re.search("/0+$", match["figure"]):
            return []
        terms.append((match["figure"], " ".join(match["symbol"].split())))
        rest = rest[match.end() :]
    return terms


@cache
def _term(si: str) -> re.Pattern[str]:
    symbols = sorted(FACTORS[si], key=len, reverse=True)
    alternatives = "|".join(re.escape(symbol).replace(r"\ ", " +") for symbol in symbols)
    return re.compile(rf"(?P<figure>{NUMBER}) *(?P<symbol>{alternatives})(?![^\s0-9])")


def _fit(terms: list[tuple[str, str]]) -> bool:
    """Whether the terms fall in size, and only the last has a fraction."""
    sizes = [factor(symbol) for _, symbol in terms]
    falling = all(big > small for big, small in pairwise(sizes))
    return falling and all(figure.isdigit() for figure, _ in terms[:-1])
