"""The commands that an answer asks for next, ready to be copied."""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING

from riglog.wording import figures, layout
from riglog.wording.terms import PIVOT

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from riglog.jobs.swap_answers import FirstMark
    from riglog.jobs.swap_words import SwapWords
    from riglog.records import Adjuster


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


def drop(build: str, places: Iterable[tuple[str, str]], wanted_s: float | None) -> str:
    """Takes the drop times where adjusters were set to readings, and answers with the fine move."""
    where = [
        f"--mark {reading}" if name == PIVOT else f"--set {name}={reading}"
        for name, reading in places
    ]
    want = [] if wanted_s is None else [f"--want {figures.typed_seconds(wanted_s)}"]
    return layout.command("riglog drop", build, *where, "SECONDS...", *want)


def first_drop(build: str, first: FirstMark, scale: Adjuster, wanted_s: float | None) -> str:
    """The drop at the first mark, with what else is set there."""
    places = [(first.name or PIVOT, figures.typed(first.set_m, scale))]
    places += [(move.name, figures.typed(move.set_m, move.adjuster)) for move in first.also]
    return drop(build, places, wanted_s)


def neutral(
    marks: Iterable[tuple[float, float]],
    next_m: float,
    wanted_s: float,
    unit: str,
    lean_rad: float,
) -> str:
    """The same marks again, as they were given, and one more."""
    known = [
        f"{figures.as_written(mark_m, unit)}{unit}={figures.as_written(time_s, 's')}"
        for mark_m, time_s in marks
    ]
    more = f"{figures.as_written(next_m, unit)}{unit}=SECONDS"
    want = f"--want {figures.typed_seconds(wanted_s)}"
    lean = [f"--guides-lean {figures.as_written(lean_rad, 'deg')}deg"] if lean_rad else []
    return layout.command("riglog neutral", *known, more, want, *lean)
