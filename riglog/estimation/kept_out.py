"""Readings that are true of what hung there, and not of what the build lists.

A tether pulls, wind pushes, a rain cover that is no part of the build adds mass high up and drag:
how much, nobody can tell. Such a reading is kept and shown, and the fit does without it. A cover
that is listed has its mass and place like any part, and its drag can be left out: 0.1 m^2 that
pass upright at 0.35 m/s, 0.4 m from the pivot, brake with 0.003 N m where 0.75 N m drive.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from riglog.estimation.kit import Kit, Logged

RAIN_COVER = "rain-cover"


def kept_out_by(kit: Kit, logged: Logged) -> tuple[str, ...]:
    """The conditions that keep a reading out of the fit; none where it counts."""
    listed = RAIN_COVER in logged.reading.conditions and _has_cover(kit, logged)
    return tuple(each for each in logged.reading.conditions if each != RAIN_COVER or not listed)


def _has_cover(kit: Kit, logged: Logged) -> bool:
    names = {part.component for part in logged.hung.build.parts}
    return any(_kind(kit, name, logged.hung.day) == "cover" for name in names)


def _kind(kit: Kit, name: str, day: str) -> str:
    """What kind of thing went by this name; a unit that says nothing is what its type is."""
    component = kit.component_on(name, day)[1]
    if component.kind == "other" and component.like is not None:
        return _kind(kit, component.like, day)
    return component.kind
