"""The table of a shot: its columns, what they mean, and how sure they are."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, NamedTuple

from riglog.units import convert, show
from riglog.wording import figures, layout, margins, masses, warned

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from riglog.jobs.answers import Value
    from riglog.jobs.shot_answers import Shot, ShotAnswer, ShotRow
    from riglog.wording.terms import Terms

_TIPS, _CHOSEN = "tips", ">"
_DEGREE = pi / 180


class _Column(NamedTuple):
    """A column whose figures have bounds: how they are written, and what stands for none.

    ``place`` is what the last place of a figure is worth; bounds may have more of them.
    """

    name: str
    known: Callable[[ShotRow], Value | None]
    figure: Callable[[float], str]
    unit: str
    place: float
    none: str = "-"
    bound: Callable[[float], str] | None = None

    def cell(self, row: ShotRow) -> str:
        known = self.known(row)
        return self._shown(None if known is None else known.value)

    def has(self, row: ShotRow) -> bool:
        """Whether there is a figure."""
        known = self.known(row)
        return known is not None and known.value is not None

    def is_sure(self, row: ShotRow) -> bool:
        """Whether it is known to the last place shown."""
        known = self.known(row)
        if known is None or known.value is None:
            return True
        if known.low is None or known.high is None:
            return False
        return known.high - known.low < self.place

    def between(self, row: ShotRow) -> str:
        """From where to where it lies."""
        known = self.known(row)
        if known is None:
            return ""
        figure = self.bound or self.figure
        low, high = (self.none if end is None else figure(end) for end in known[1:])
        return f"{self.name} {low} to {high}" + ("" if high == self.none else f" {self.unit}")

    def _shown(self, value: float | None) -> str:
        return self.none if value is None else self.figure(value)


def _columns(answer: ShotAnswer) -> Iterator[_Column]:
    shot, unit, lean = answer.shot, answer.scale.unit, answer.lean_scale
    ounce_or_gram = masses.small(unit)
    place_kg = 10.0 ** -masses.small_decimals(unit) / convert(1.0, ounce_or_gram)
    mass = lambda kg: masses.in_column(kg, unit)  # noqa: E731
    yield _Column("hold", lambda row: row.force_n, _newtons, "N", 0.1, bound=_finer)
    yield _Column("fall", lambda row: row.fall_s, _seconds, "s", 0.1)
    yield _Column("walk", lambda row: row.swing_rad, _degrees, "deg", _DEGREE)
    if shot.accel_m_s2 is not None:
        yield _Column("accel", lambda row: row.accel_rad, _degrees, "deg", _DEGREE)
    yield _Column("band", lambda row: row.band_rad, _degrees, "deg", _DEGREE)
    yield _Column("margin", lambda row: row.margin_kg, mass, ounce_or_gram, place_kg)
    yield _Column("step up", lambda row: row.up_s, _seconds, "s", 0.1, _TIPS)
    yield _Column("step down", lambda row: row.down_s, _seconds, "s", 0.1, _TIPS)
    if lean is not None:
        at = lambda reading: figures.reading(reading, lean)  # noqa: E731
        yield _Column("lean at", lambda row: row.lean_to_m, at, lean.unit, lean.step)


def _newtons(force_n: float) -> str:
    return f"{force_n:.1f}"


def _finer(force_n: float) -> str:
    return f"{force_n:.2f}"


def table(answer: ShotAnswer) -> str:
    """A row for each drop time; the one to take is marked, and those not to be taken."""
    columns = list(_columns(answer))
    steps = [each.name for each in columns].index("step up")
    names = [each.name for each in columns]
    names[steps : steps + 2] = ["step"]
    heading = ["", "drop", "mark", "+/-", *names]
    rows = []
    for number, row in enumerate(answer.rows):
        cells = [each.cell(row) for each in columns]
        cells[steps : steps + 2] = ["/".join(cells[steps : steps + 2])]
        rows.append([_flag(answer, row, number), *_mark(answer, row), *cells])
    return layout.table([heading, *rows], "<" + ">" * (len(heading) - 1))


def _flag(answer: ShotAnswer, row: ShotRow, number: int) -> str:
    if number == answer.chosen:
        return _CHOSEN
    return "" if row.limit is None else "!"


def _mark(answer: ShotAnswer, row: ShotRow) -> list[str]:
    half = (row.mark.high_m - row.mark.low_m) / 2
    at = figures.reading(row.mark.set_m, answer.scale)
    return [_seconds(row.drop_s), at, figures.fine(half, answer.scale.unit)]


def _seconds(time_s: float) -> str:
    return show(time_s, "s", 1).removesuffix(" s")


def _degrees(angle_rad: float) -> str:
    return f"{convert(angle_rad, 'deg'):.0f}"


def legend(answer: ShotAnswer, terms: Terms) -> Iterator[str]:
    """What the columns are, and how sure."""
    shot = answer.shot
    grip = figures.as_written(shot.grip_m, terms.unit)
    through = "through the move" if moved(shot) else "from horizontal"
    yield (
        f"Times in s. hold: N to hold {figures.whole_degrees(shot.held_rad)}, {grip} {terms.unit}"
        f" from the {terms.pivot}. fall: hands off {through}."
        f" walk: degrees that a start or stop at {shot.walk_m_s:g} m/s swings it."
        f"{_accel(shot)} band: degrees within which it stays where it is put. margin:"
        f" {masses.small_word(terms.unit)} {margins.where(terms)} that make it neutral."
        f" step: drop time one step of the {terms.lift} {_ways(answer)}.{_lean(answer, terms)}"
    )
    yield _how_sure(answer)


def _how_sure(answer: ShotAnswer) -> str:
    """Of the row to take the bounds, and what is sure as it is shown."""
    row, columns = answer.rows[answer.chosen], list(_columns(answer))
    usable = [each for each in answer.rows if each.limit is None] or [row]
    columns = [each for each in columns if any(each.has(other) for other in usable)]
    sure = [each.name for each in columns if all(map(each.is_sure, usable))]
    told = [each.between(row) for each in columns if each.name not in sure]
    rest = f"Sure to the last place: {', '.join(sure)}." if sure else ""
    if not told:
        return rest
    drop = figures.seconds(row.drop_s)
    return f"At {drop} in 95 %: {', '.join(told)}; at the others about the same share. {rest}"


def _ways(answer: ShotAnswer) -> str:
    return "down and up" if answer.first.toward == "down" else "up and down"


def _accel(shot: Shot) -> str:
    if shot.accel_m_s2 is None:
        return ""
    held = f" held for {figures.seconds(shot.for_s)}" if shot.for_s is not None else " held"
    return f" accel: degrees at the most while {shot.accel_m_s2:g} m/s2 are{held}."


def _lean(answer: ShotAnswer, terms: Terms) -> str:
    lean, name, scale = answer.shot.lean_rad, answer.lean_name, answer.lean_scale
    if lean is None or name is None or scale is None:
        return ""
    slide = terms._replace(scales={**terms.scales, name: scale}).called(name)
    return (
        f" lean at: {slide} in {scale.unit} at which it hangs {warned.leaning(lean)}, give or take"
        " the last fine trim."
    )


def moved(shot: Shot) -> str:
    """The move as words, ``from 80 deg to 0 deg in 3.0 s``; empty without one."""
    if shot.from_rad is None or shot.to_rad is None or shot.over_s is None:
        return ""
    start, end = sorted((shot.from_rad, shot.to_rad), key=abs, reverse=True)
    angles = f"{show(start, 'deg', 0)} to {show(end, 'deg', 0)}"
    return f"from {angles} in {figures.seconds(shot.over_s)}"
