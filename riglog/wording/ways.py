"""Ways along the rig as whoever stands behind it has them: low mode is half a turn about x."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.answers import Value

if TYPE_CHECKING:
    from riglog.wording.terms import Terms


def as_it_hangs(known_m: Value, terms: Terms) -> Value:
    """A distance along the rig's y or z, to the left or up as the operator has it.

    In low mode the rig's left is on the operator's right, and its top is below.
    """
    if terms.mode == "high":
        return known_m
    value, low, high = (None if each is None else -each for each in known_m)
    return Value(value, high, low)
