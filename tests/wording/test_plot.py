from __future__ import annotations

import pytest

from riglog.jobs.answers import Value
from riglog.jobs.drop_curve import DropCurve
from riglog.records import Adjuster
from riglog.wording import plot

PIVOT = Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005)


def expected(height_m: float) -> Value:
    """Near neutral the drop time goes with one over the root of the height."""
    heights = (height_m, height_m + 0.001, height_m - 0.001)
    return Value(*(0.2 / each**0.5 if each > 0 else None for each in heights))


@pytest.fixture
def curve() -> DropCurve:
    marks = [0.4805 + 0.00025 * number for number in range(72)]
    return DropCurve(PIVOT, marks, [expected(each - 0.4805) for each in marks],
                     ((0.487, 2.5), (0.495, 1.7)), 0.487)  # fmt: skip


def test_a_curve_with_its_bounds_and_what_was_logged(curve: DropCurve) -> None:
    assert (
        plot.draw(curve, 60)
        == """\
 10 | :::::
  8 | :::::
    | ::**:::
  6 |  :::*:::
  5 |   :::**:::
  4 |     :::***:::
  3 |        :::****:::
    |            :::*****o*:::
  2 |                   :::**********:::
    |                             :::************o:::
    |                                          :::**********
  s +--------------------^----------------------------------
      480.5             487                         498.2 mm
      * expected   : 95 %   o logged   ^ stands"""
    )


@pytest.mark.parametrize("columns", [24, 40, 60, 80, 200])
def test_it_keeps_within_the_columns_there_are(curve: DropCurve, columns: int) -> None:
    lines = plot.draw(curve, columns).splitlines()
    assert max(map(len, lines)) <= min(columns, 80)
    assert len(lines) == 14


def test_too_few_columns_show_nothing(curve: DropCurve) -> None:
    assert plot.draw(curve, 23) == ""


def test_a_scale_that_reads_down_is_drawn_from_its_least_reading_too(curve: DropCurve) -> None:
    turned = curve._replace(marks_m=[1 - each for each in curve.marks_m], here_m=None, logged=())
    first = plot.draw(turned, 60).splitlines()[0]
    mirrored = plot.draw(curve._replace(here_m=None, logged=()), 60).splitlines()[0]
    assert first[6:].rstrip().endswith(":")
    assert mirrored[6:].startswith(":")


def test_signs_are_the_same_in_both_kinds(curve: DropCurve) -> None:
    plain, drawn = (plot.draw(curve, 60, glyphs) for glyphs in (plot.PLAIN, plot.DRAWN))
    assert plain.isascii()
    swapped = plain
    for one, other in zip(plot.PLAIN, plot.DRAWN, strict=True):
        swapped = swapped.replace(one, other)
    # Letters of the legend, of which one is a sign too, are not swapped.
    assert swapped.splitlines()[:11] == drawn.splitlines()[:11]


def test_one_drop_and_nothing_else_is_drawn_too(curve: DropCurve) -> None:
    alone = curve._replace(drop_s=[Value(None, None, None)] * 72, logged=((0.487, 3.0),))
    assert plot.draw(alone, 60).count("o") >= 1
