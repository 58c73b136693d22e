"""The commands that an answer asks for next, ready to be copied."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import figures, layout

if TYPE_CHECKING:
    from collections.abc import Iterable


def drop(build: str, mark: str, wanted_s: float) -> str:
    """Takes the drop times at a mark, and answers with the fine move."""
    want = f"--want {figures.typed_seconds(wanted_s)}"
    return layout.command("riglog drop", build, f"--mark {mark}", "SECONDS...", want)


def neutral(marks: Iterable[tuple[float, float]], next_m: float, wanted_s: float, unit: str) -> str:
    """The same marks again, as they were given, and one more."""
    known = [
        f"{figures.as_written(mark_m, unit)}{unit}={figures.as_written(time_s, 's')}"
        for mark_m, time_s in marks
    ]
    more = f"{figures.as_written(next_m, unit)}{unit}=SECONDS"
    return layout.command(
        "riglog neutral", *known, more, f"--want {figures.typed_seconds(wanted_s)}"
    )
