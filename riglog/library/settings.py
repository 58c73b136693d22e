"""Readings of a scale, as typed in a command."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.units import METER, parse_loose

if TYPE_CHECKING:
    from riglog.records import Adjuster


def parse_setting(adjuster: Adjuster, text: str) -> float:
    """What an adjuster's scale shows [m]; a bare number is in the unit engraved on it.

    Raises
    ------
    QuantityError
        If the text is no length.

    Examples
    --------
    >>> from riglog.records import Adjuster
    >>> parse_setting(Adjuster(id="pivot", axis="z"), "487")
    0.487
    >>> parse_setting(Adjuster(id="pivot", axis="z", unit="in"), "18 3/8")
    0.466725
    """
    return parse_loose(text, METER, adjuster.unit)
