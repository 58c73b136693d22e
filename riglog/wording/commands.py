"""The commands that an answer asks for next, ready to be copied."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import figures, layout

if TYPE_CHECKING:
    from collections.abc import Iterable

    from riglog.records import Adjuster


def drop(build: str, mark: str, wanted_s: float) -> str:
    """Takes the drop times at a mark, and answers with the fine move."""
    want = f"--want {figures.typed_seconds(wanted_s)}"
    return layout.command("riglog drop", build, f"--mark {mark}", "SECONDS...", want)


def neutral(
    marks: Iterable[tuple[float, float]], next_m: float, wanted_s: float, scale: Adjuster
) -> str:
    """The same marks again, and one more."""
    known = [f"{figures.typed(m, scale)}={figures.typed_seconds(s)[:-1]}" for m, s in marks]
    want = f"--want {figures.typed_seconds(wanted_s)}"
    return layout.command("riglog neutral", *known, f"{figures.typed(next_m, scale)}=SECONDS", want)
