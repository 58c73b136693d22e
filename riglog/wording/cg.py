"""What `cg` says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.jobs.measure_answers import Figure
from riglog.wording import doubts, figures, layout, objects

if TYPE_CHECKING:
    from collections.abc import Mapping

    from riglog.jobs.measure_answers import CgAnswer

# Which side of the datum is plus and which is minus, and what plus is called by itself.
_SIDES: Mapping[str, tuple[str, str, str]] = {
    "x": ("ahead of", "behind", "forward"),
    "y": ("left of", "right of", "left"),
    "z": ("above", "below", "up"),
}


def say(answer: CgAnswer) -> str:
    """Where it balances, what was known before, and how that was found."""
    known = answer.known
    assert known.now is not None
    assert known.measured is not None
    positive, negative, plus = _SIDES[answer.along]
    side = positive if known.now.value >= 0 else negative
    at = _length(Figure(abs(known.now.value), known.now.sd))
    first = f"{answer.component} balances {at} {side} its datum."
    before = "" if known.before is None else _length(known.before)
    return layout.page(
        layout.wrapped(first),
        layout.facts(
            [
                ("measured", f"{_length(known.measured)} by {answer.how}"),
                ("before", before),
                ("axis", f"{answer.along}, plus is {plus}"),
            ]
        ),
        layout.lines(*doubts.sentences(answer.warnings)),
    )


def _length(figure: Figure) -> str:
    return figures.length(figure.between, "mm")


def tell(answer: CgAnswer) -> dict[str, Any]:
    """Where it balances along one axis from its datum, as one object.

    ``{"component", "entry", "along", "how", "at_mm", "sd_mm", "before_mm", "before_sd_mm",
    "measured_mm", "measured_sd_mm", "surprise_sd", "warnings"}``
    """
    known = answer.known
    return {
        "component": answer.component,
        "entry": answer.entry,
        "along": answer.along,
        "how": answer.how,
        **_figure("at", "sd", known.now),
        **_figure("before", "before_sd", known.before),
        **_figure("measured", "measured_sd", known.measured),
        "surprise_sd": known.surprise,
        "warnings": objects.warnings(doubts.messages(answer.warnings)),
    }


def _figure(value: str, sd: str, figure: Figure | None) -> dict[str, Any]:
    found, spread = figure or (None, None)
    return {
        f"{value}_mm": objects.number(found, "mm"),
        f"{sd}_mm": objects.number(spread, "mm"),
    }
