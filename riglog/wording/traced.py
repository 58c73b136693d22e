"""What was found in a trace: its drops, and what the swings after them show."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.units import show
from riglog.wording import objects

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.timing_answers import Found, Timed

_TWO_SIDED = 1.96
_LISTED = 6


def sentences(timed: Timed | None) -> Iterator[str]:
    """Where the drops lie in the trace, and what friction its swings show."""
    if timed is None or not timed.found:
        return
    places = [f"{show(each.at_s, 's', 1)} ({show(each.drop_s, 's', 2)})" for each in timed.found]
    more = [f"{len(places) - _LISTED} more"] if len(places) > _LISTED else []
    yield f"In the trace, let go at {listed([*places[:_LISTED], *more], 'and')}."
    angles = sorted(each.release_rad for each in timed.found)
    about = [show(angle, "deg", 0) for angle in dict.fromkeys((angles[0], angles[-1]))]
    yield f"Released {' to '.join(dict.fromkeys(about))} from where it hangs."
    if timed.friction_n_m is None or timed.friction_sd_n_m is None:
        yield "Nobody let it swing on, so upright is taken where the sensor showed it."
        return
    off = _TWO_SIDED * timed.friction_sd_n_m
    low, high = (
        show(max(bound, 0.0), "N m", 3).removesuffix(" N m")
        for bound in (timed.friction_n_m - off, timed.friction_n_m + off)
    )
    period = sum(each.period_s for each in timed.found) / len(timed.found)
    friction = show(timed.friction_n_m, "N m", 3)
    yield (
        f"Swings after it: {show(period, 's', 1)} for a small one; friction at the pivot {friction}"
        f" ({low} to {high})."
    )


def tell(timed: Timed | None) -> dict[str, Any]:
    """The drops of a trace, each in full, and the friction."""
    if timed is None or not timed.found:
        return {}
    return {
        "found": [_found(each) for each in timed.found],
        "friction_n_m": timed.friction_n_m,
        "friction_sd_n_m": timed.friction_sd_n_m,
    }


def _found(each: Found) -> dict[str, Any]:
    return {
        "at_s": objects.number(each.at_s, "s"),
        "drop_s": objects.number(each.drop_s, "s"),
        "sd_s": objects.number(each.sd_s, "s"),
        "release_deg": objects.number(each.release_rad, "deg"),
        "period_s": objects.number(each.period_s, "s"),
        "swings": each.swings,
    }
