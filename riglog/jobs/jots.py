"""What a jotted line says, and the words that say it again."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, NamedTuple

from riglog.records import PivotPair
from riglog.units import METER, SECOND, exact

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from riglog.jobs.exchange import Change
    from riglog.records import Adjuster, Setting
    from riglog.records.readings.measured import Condition

DoubtKind = Literal[
    "mark", "far", "time", "comma", "part", "stays", "repeats", "count", "place", "again"
]


class Doubt(NamedTuple):
    """Something that a line may mean: what was written, and what it would be.

    ``mark``: the mark and no time; ``far``: a mark far from where it stood, at ``meant``; ``time``:
    a drop time; ``comma``: the figure ``meant``; ``part``: the component ``meant``; ``stays``: the
    pivot was not moved by a swap and is at ``meant``; ``repeats``: the times ``meant``; ``count``:
    ``meant`` is all there is of so many drops; ``place``: a part goes on the mount ``meant``;
    ``again``: it is another than that of ``said`` at ``meant``.
    """

    kind: DoubtKind
    said: str
    meant: str = ""
    line: int = 0


class Jot(NamedTuple):
    """A line as it is understood.

    ``day`` is ISO 8601, ``time`` of day as ``14:20``; ``changes`` are parts that come on or off,
    by exact ids; ``mark`` is the pivot's reading and ``settings`` those of other adjusters.
    """

    day: str | None = None
    time: str | None = None
    changes: tuple[Change, ...] = ()
    mark: Setting | None = None
    settings: Mapping[str, Setting] = MappingProxyType({})
    times_s: tuple[float, ...] = ()
    conditions: tuple[Condition, ...] = ()
    note: str = ""


def words_of(jot: Jot, adjusters: Mapping[str, Adjuster]) -> str:
    """The line in words that mean just this, whatever it was written like."""
    return " ".join(_words(jot, adjusters))


def _words(jot: Jot, adjusters: Mapping[str, Adjuster]) -> Iterator[str]:
    yield from filter(None, (jot.day, jot.time))
    for change in jot.changes:
        on = f"@{change.on}" if change.on else ""
        yield f"{change.old or ''}={change.new or ''}{on}"
    for name, setting in jot.settings.items():
        yield f"{name}={_setting(setting, adjusters[name])}"
    if jot.mark is not None:
        yield _setting(jot.mark, adjusters["pivot"])
    yield from (exact(time_s, SECOND).replace(" ", "") for time_s in jot.times_s)
    yield from jot.conditions
    if jot.note:
        yield f"note: {jot.note}"


def _setting(setting: Setting, scale: Adjuster) -> str:
    if isinstance(setting, PivotPair):
        return f"{_length(setting.left, scale)},{_length(setting.right, scale)}"
    return _length(setting, scale)


def _length(reading_m: float, scale: Adjuster) -> str:
    return exact(reading_m, METER, scale.unit).replace(" ", "")
