"""The commands that an answer asks for next, ready to be copied."""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING

from riglog.wording import figures, layout

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from riglog.jobs.swap_words import SwapWords


def drop(build: str, mark: str, wanted_s: float) -> str:
    """Takes the drop times at a mark, and answers with the fine move."""
    want = f"--want {figures.typed_seconds(wanted_s)}"
    return layout.command("riglog drop", build, f"--mark {mark}", "SECONDS...", want)


def save_swap(asked: SwapWords, name: str) -> str:
    """The same swap again, recorded."""
    told = [
        *map(_typed, asked.changes),
        *_option("drop", [asked.wanted]),
        *_option("free", asked.free),
        *_option("hold", asked.hold),
        *_option("set", asked.set_),
        *_option("head", [asked.head]),
        *([] if asked.rebalanced else ["--not-rebalanced"]),
        *_option("state", asked.states),
        *_option("mode", [asked.conversion.mode]),
        *_option("by", asked.conversion.by),
        *_option("turn", asked.conversion.turn),
        *_option("keep", asked.conversion.keep),
    ]
    return layout.command("riglog swap", _typed(asked.build), *told, f"--save {name}")


def _option(name: str, values: Iterable[str | None]) -> Iterator[str]:
    return (f"--{name} {_typed(value)}" for value in values if value is not None)


def _typed(word: str) -> str:
    return layout.harmless(shlex.quote(word))


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
