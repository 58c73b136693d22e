"""The two side pivots of a ring as typed: ``212mm,213mm`` or ``212/213``, the left one first."""

from __future__ import annotations

import re

from riglog.errors import CallError, quoted
from riglog.records import PivotPair
from riglog.units import METER, parse_loose, show

# Further apart, no camera would still sit in its frame: a digit is wrong.
MOST_APART_M = 0.05
# Each with its unit: 212,5 is one reading with a decimal comma, and 212/213 in inches a fraction.
_COMMA = re.compile(r"([^,]*[a-z])\s*,([^,]*[a-z])\s*")
_STROKE = re.compile(r"([^/]*[0-9][^/]*)/([^/]*[0-9][^/]*)")


def parse_sides(text: str, unit: str) -> PivotPair | None:
    """The readings of both sides; None where the text is one reading.

    Parameters
    ----------
    text
        ``212mm,213mm``, or ``212/213`` on a scale that is not in inches.
    unit
        What a bare figure is in.

    Raises
    ------
    QuantityError
        If a side is no length.
    CallError
        If the two are too far apart to be two sides.

    Examples
    --------
    >>> parse_sides("212mm,213mm", "mm")
    PivotPair(left=0.212, right=0.213)
    """
    match = _COMMA.fullmatch(text) or (None if unit == "in" else _STROKE.fullmatch(text))
    if match is None:
        return None
    left, right = (parse_loose(side.strip(), METER, unit) for side in match.groups())
    if abs(left - right) > MOST_APART_M:
        apart = show(abs(left - right), unit)
        message = f"{quoted(text)} sets the two sides {apart} apart"
        raise CallError(message, hint="read both scales again")
    return PivotPair(left=left, right=right)
