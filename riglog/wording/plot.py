"""Drop time against mark, as a few lines of a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.wording import figures

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.answers import Value
    from riglog.jobs.drop_curve import DropCurve

_ROWS = 11
_TICKS_S = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
_LABEL = 5  # columns of a drop time and the axis
LEAST_COLUMNS, MOST_COLUMNS = 24, 78


class Glyphs(NamedTuple):
    """The signs of a plot: curve, what lies between its bounds, a logged drop, both axes."""

    curve: str
    between: str
    logged: str
    upright: str
    level: str
    corner: str


PLAIN = Glyphs("*", ":", "o", "|", "-", "+")
DRAWN = Glyphs("\u2022", "\u00b7", "\u25cb", "\u2502", "\u2500", "\u2514")


def draw(curve: DropCurve, columns: int, glyphs: Glyphs = PLAIN) -> str:
    """The curve, its 95 % and the logged drops, in as many columns as there are.

    The drop times stand on a scale of ratios, since near neutral a step does many times as much.
    Nothing is drawn in fewer columns than a reading and its neighbors take.
    """
    wide = min(columns, MOST_COLUMNS) - _LABEL - 1
    if wide + _LABEL + 1 < LEAST_COLUMNS:
        return ""
    page = _Page(curve, wide, glyphs)
    return "\n".join([*page.lines(), page.axis(), page.marks(), page.legend()])


class _Page:
    """Cells to be filled, the shortest drop at the bottom."""

    def __init__(self, curve: DropCurve, wide: int, glyphs: Glyphs) -> None:
        self.curve, self.wide, self.glyphs = curve, wide, glyphs
        seen = [each.value for each in curve.drop_s if each.value is not None]
        seen += [time for _, time in curve.logged]
        self.least_s = min([*seen, _TICKS_S[-1] / 2])
        self.most_s = max(min(max([*seen, 2 * self.least_s]), _TICKS_S[-1]), 1.2 * self.least_s)
        self.low_m, self.high_m = sorted((curve.marks_m[0], curve.marks_m[-1]))

    def lines(self) -> Iterator[str]:
        """The rows of the plot, the longest drop first."""
        cells = self._cells()
        labels = {self._row(tick): f"{tick:g}" for tick in _TICKS_S if self._is_shown(tick)}
        for row in range(_ROWS - 1, -1, -1):
            label = f"{labels[row]:>{_LABEL - 2}} " if row in labels else " " * (_LABEL - 1)
            yield f"{label}{self.glyphs.upright} {''.join(cells[row])}".rstrip()

    def _is_shown(self, time_s: float) -> bool:
        return self.least_s <= time_s <= self.most_s

    def _cells(self) -> list[list[str]]:
        cells = [[" "] * self.wide for _ in range(_ROWS)]
        for column in range(self.wide):
            known = self._at(column)
            for row in self._between(known):
                cells[row][column] = self.glyphs.between
            if known.value is not None and self._is_shown(known.value):
                cells[self._row(known.value)][column] = self.glyphs.curve
        for mark, time in self.curve.logged:
            column = self._column(mark)
            if 0 <= column < self.wide and self._is_shown(time):
                cells[self._row(time)][column] = self.glyphs.logged
        return cells

    def _at(self, column: int) -> Value:
        """The drop time at a column, the lowest reading on the left."""
        curve = self.curve
        number = round(column / max(self.wide - 1, 1) * (len(curve.marks_m) - 1))
        rising = curve.marks_m[0] <= curve.marks_m[-1]
        return curve.drop_s[number if rising else len(curve.marks_m) - 1 - number]

    def _between(self, known: Value) -> range:
        """Rows between the bounds; without an upper one, up to the top."""
        if known.low is None or known.low > self.most_s:
            return range(0)
        high = self.most_s if known.high is None else known.high
        if high < self.least_s:
            return range(0)
        return range(self._row(max(known.low, self.least_s)), self._row(min(high, self.most_s)) + 1)

    def _row(self, time_s: float) -> int:
        from math import log

        share = log(time_s / self.least_s) / log(self.most_s / self.least_s)
        return min(max(round(share * (_ROWS - 1)), 0), _ROWS - 1)

    def _column(self, mark_m: float) -> int:
        share = (mark_m - self.low_m) / ((self.high_m - self.low_m) or 1.0)
        return round(share * (self.wide - 1))

    def axis(self) -> str:
        """The line below, with a tick where it stands."""
        cells = [self.glyphs.level] * self.wide
        if self.curve.here_m is not None and 0 <= self._column(self.curve.here_m) < self.wide:
            cells[self._column(self.curve.here_m)] = "^"
        corner = self.glyphs.corner + self.glyphs.level
        return f"{'s':>{_LABEL - 2}} {corner}{''.join(cells)}"

    def marks(self) -> str:
        """The readings at both ends, and where it stands between them if there is room."""
        scale = self.curve.scale
        left, right = (figures.spoken(each, scale) for each in (self.low_m, self.high_m))
        right = f"{right} {scale.unit}"
        cells = list(left.ljust(self.wide - len(right)) + right)
        if self.curve.here_m is not None:
            here = figures.spoken(self.curve.here_m, scale)
            start = self._column(self.curve.here_m) - len(here) // 2
            room = cells[max(start - 1, 0) : start + len(here) + 1]
            if start > 0 and start + len(here) < self.wide and not "".join(room).strip():
                cells[start : start + len(here)] = here
        return f"{' ' * (_LABEL + 1)}{''.join(cells)}".rstrip()

    def legend(self) -> str:
        """What the signs are, as far as the columns go."""
        signs = self.glyphs
        told = [f"{signs.curve} expected", f"{signs.between} 95 %", "^ stands"]
        if self.curve.logged:
            told.insert(2, f"{signs.logged} logged")
        while len("   ".join(told)) > self.wide:
            told.pop()
        return f"{' ' * (_LABEL + 1)}{'   '.join(told)}".rstrip()
