"""How far a rig leans at the ends of a range, such as a zoom's, with everything left as it is."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from riglog.wording import objects, warned
from riglog.wording.layout import harmless

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.states_answers import End
    from riglog.wording.objects import Json


def told(ends: Sequence[End]) -> str:
    """``With zoom left so, it leans at wide 3.1 deg, nose up; at long 2.9 deg, nose down.``."""
    sentences = []
    for part, of_part in groupby(ends, key=lambda each: each.part):
        leans = [f"at {harmless(each.state)} {_lean(each)}" for each in of_part]
        sentences.append(f"With {harmless(part)} left so, it leans {'; '.join(leans)}.")
    return " ".join(sentences)


def _lean(end: End) -> str:
    over = "" if end.drop_s is not None else ", and turns over"
    return f"{warned.leaning(end.lean_rad)}{over}"


def tell(ends: Sequence[End]) -> list[Json]:
    """Each ``{"part", "state", "lean_deg", "drop_s"}``."""
    return [
        {
            "part": each.part,
            "state": each.state,
            "lean_deg": objects.number(each.lean_rad, "deg"),
            "drop_s": objects.number(each.drop_s, "s"),
        }
        for each in ends
    ]
