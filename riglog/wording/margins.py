"""How little makes a rig neutral, in words: how much, more or less, and where."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import masses

if TYPE_CHECKING:
    from riglog.wording.terms import Terms


def neutral(margin_kg: float, terms: Terms) -> str:
    """What makes it neutral: ``255 g more at the camera``."""
    return f"{masses.on_rig(margin_kg, terms.unit)} {where(terms)}"


def where(terms: Terms) -> str:
    """Where a change of mass turns it over; in low mode the camera hangs below, and less does.

    In a ring the camera sits about as high as the pivots, and only what goes on top of it counts;
    its own top may hang down in low mode.
    """
    if terms.type == "ring":
        side = "top" if terms.mode == "high" else "the upper side"
        return f"more on {side} of the camera"
    return f"{'more' if terms.mode == 'high' else 'less'} at the camera"
