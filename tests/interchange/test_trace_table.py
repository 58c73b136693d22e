"""What a phone logged, as files that phones write."""

from __future__ import annotations

from math import isclose, pi
from typing import TYPE_CHECKING

import pytest

from riglog.errors import CallError
from riglog.interchange.trace_table import read_trace

if TYPE_CHECKING:
    from pathlib import Path

SAMPLES = 12


def written(folder: Path, head: str, *rows: str) -> str:
    """A file with a row of names, some rows, and as many more as a trace needs."""
    file = folder / "phone.csv"
    file.write_bytes("\n".join([head, *rows]).encode())
    return str(file)


def trace(head: str = "time (s),angle (deg)", *, start: float = 0.0) -> list[str]:
    return [head, *(f"{start + 0.01 * i:.2f},{90 - i}" for i in range(SAMPLES))]


def test_times_and_angles_are_read_in_si(tmp_path: Path) -> None:
    read = read_trace(written(tmp_path, *trace()))
    assert (read.kind, read.time_s[:2], read.rows[0], len(read.rows)) == (
        "angle", [0.0, 0.01], 2, SAMPLES,
    )  # fmt: skip
    assert isclose(read.shown[0][0], pi / 2)


@pytest.mark.parametrize(
    ("head", "first"),
    [
        ("t_ms,pitch_deg", (1.0, pi / 2)),
        ("Timestamp [us];Lean [rad]", (1e-3, 90.0)),
        ("elapsed (ns)\tTilt (\u00b0)", (1e-6, pi / 2)),
        ('"time (s)","roll (degrees)"', (1000.0, pi / 2)),
    ],
)
def test_names_tell_columns_and_units(
    tmp_path: Path, head: str, first: tuple[float, float]
) -> None:
    mark = next(mark for mark in ";\t," if mark in head)
    rows = (f"{1000 + i}{mark}{90 - i}" for i in range(SAMPLES))
    read = read_trace(written(tmp_path, head, *rows))
    assert isclose(read.time_s[0], first[0])
    assert isclose(read.shown[0][0], first[1])


def test_three_rates_are_three_axes(tmp_path: Path) -> None:
    rows = (f"{i},{i},0.5,-1" for i in range(SAMPLES))
    head = "time (s),gyro_x (deg/s),gyro_y (deg/s),gyro_z (deg/s)"
    read = read_trace(written(tmp_path, head, *rows))
    assert (read.kind, len(read.shown[0])) == ("rate", 3)
    assert isclose(read.shown[3][0], 3 * pi / 180)


def test_decimal_commas_and_a_byte_order_mark_are_read(tmp_path: Path) -> None:
    rows = (f"0,{i + 10};{90 - i},5" for i in range(SAMPLES))
    read = read_trace(written(tmp_path, "\ufefftime (s);angle (deg)", *rows))
    assert read.time_s[:2] == [0.10, 0.11]
    assert isclose(read.shown[0][0], 90.5 * pi / 180)


def test_columns_and_units_can_be_named(tmp_path: Path) -> None:
    rows = (f"x,{i},{i}" for i in range(SAMPLES))
    file = written(tmp_path, "who,when,how", *rows)
    read = read_trace(file, "time=when,rate=how", "t=ms,rate=rad/s")
    assert (read.kind, read.time_s[2], read.shown[2]) == ("rate", 0.002, [2.0])


def test_a_sample_logged_twice_counts_once(tmp_path: Path) -> None:
    lines = trace()
    read = read_trace(written(tmp_path, *lines[:4], lines[3], *lines[4:]))
    assert len(read.time_s) == SAMPLES
    assert read.rows[3] == 6


@pytest.mark.parametrize(
    ("lines", "columns", "units", "told"),
    [
        (trace("time,angle (deg)"), None, None, 'nothing says in which unit "time" is'),
        (trace("time (s),angle"), None, "t=s", "--units angle=rad, or deg"),
        (trace("time (s),angle (mm)"), None, None, '"angle (mm)" is in "mm"'),
        (trace("time (s),mood"), None, None, "no column for the angle or the angular rates"),
        (trace("when (s),angle (deg)"), None, None, "--columns t=NAME"),
        (trace(), "t=when,angle=x", None, 'has no column "when"'),
        (trace(), "t", None, '"t" is no part of --columns'),
        (trace(), "speed=x", None, '"speed" is no column of a trace'),
        (trace()[:5], None, None, "4 samples are no trace"),
        ([*trace(), "0.05,3"], None, None, "phone.csv:14: the time goes back"),
        ([*trace(), "0.11,3"], None, None, "phone.csv:14: two samples have the time 0.11 s"),
        (trace(start=-1.0), None, None, "phone.csv:2: the time is less than zero"),
        ([*trace(), "0.5,"], None, None, "phone.csv:14: angle (deg) is empty"),
        ([*trace(), "0.5,nan"], None, None, '"nan" is no number'),
        ([*trace(), "0.5,0.2 rad"], None, None, '"0.2 rad" stands in a column that is in deg'),
        ([*trace(), "0.5"], None, None, "phone.csv:14: 1 cell stands where"),
        ([*trace(), "0.5,1,2"], None, None, "phone.csv:14: 3 cells stand where"),
        ([], None, None, "the table is empty"),
    ],
)
def test_a_file_that_tells_no_trace_is_refused_with_its_row(
    tmp_path: Path, lines: list[str], columns: str | None, units: str | None, told: str
) -> None:
    file = written(tmp_path, *(lines or [""]))
    with pytest.raises(CallError) as caught:
        read_trace(file, columns, units)
    words = [*map(str, caught.value.findings), str(caught.value)]
    assert any(told in each for each in words), words


def test_two_columns_that_could_each_be_the_angle_are_asked_about(tmp_path: Path) -> None:
    rows = (f"{i},1,2" for i in range(SAMPLES))
    file = written(tmp_path, "time (s),pitch (deg),roll (deg)", *rows)
    with pytest.raises(CallError, match="say which: --columns angle=pitch"):
        read_trace(file)
    assert read_trace(file, "angle=roll (deg)").shown[0] == [2 * pi / 180]


def test_rates_in_mixed_units_are_refused(tmp_path: Path) -> None:
    rows = (f"{i},1,2" for i in range(SAMPLES))
    file = written(tmp_path, "time (s),gyro_x (deg/s),gyro_y (rad/s)", *rows)
    with pytest.raises(CallError, match="mixed units: gyro_x"):
        read_trace(file)


def test_figures_with_both_decimal_marks_are_refused_by_row(tmp_path: Path) -> None:
    rows = [f"0.0{i};{i},5" for i in range(SAMPLES)]
    with pytest.raises(CallError) as caught:
        read_trace(written(tmp_path, "time (s);angle (deg)", *rows))
    assert "figures have the decimal mark" in str(caught.value.findings[0])
