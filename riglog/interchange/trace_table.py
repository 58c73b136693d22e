"""What a phone on the rig logged: times, and angles or angular rates, from CSV.

Columns are known by their names, or named by the caller. A unit stands in a column's name, as
``time (ms)``, ``angle [deg]`` or ``rate_x_deg/s``, or the caller states it; none is guessed.
"""

from __future__ import annotations

import re
from math import isfinite, pi
from typing import TYPE_CHECKING, Literal, NamedTuple

from riglog.errors import CallError, Finding, listed, mend_word, quoted
from riglog.interchange.tables import Table, decimal_mark, figure, read_table, refused

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

_TIME = {"s": 1.0, "ms": 1e-3, "us": 1e-6, "ns": 1e-9, "min": 60.0}
_ANGLE = {"rad": 1.0, "deg": pi / 180.0}
_RATE = {"rad/s": 1.0, "deg/s": pi / 180.0}
_SPELLED = {
    "sec": "s", "seconds": "s", "second": "s", "msec": "ms", "milliseconds": "ms", "\u00b5s": "us",
    "\u03bcs": "us", "nsec": "ns", "nanoseconds": "ns", "\u00b0": "deg", "degrees": "deg",
    "degree": "deg", "radians": "rad", "\u00b0/s": "deg/s", "dps": "deg/s", "deg/sec": "deg/s",
    "rad/sec": "rad/s", "deg_s": "deg/s", "rad_s": "rad/s",
}  # fmt: skip
_WORDS = {
    "time": {"t", "time", "timestamp", "elapsed", "seconds"},
    "angle": {"angle", "tilt", "lean", "pitch", "roll", "inclination"},
    "rate": {"rate", "rates", "gyro", "gyroscope", "omega", "velocity", "gx", "gy", "gz"},
}
ROLES = ("t", "angle", "rate", "x", "y", "z")
_UNITS = {"t": _TIME, "angle": _ANGLE}
_FEWEST = 10
_MOST_FINDINGS = 20


class TraceTable(NamedTuple):
    """Times [s] and what was shown [rad or rad/s] per sample, and the row of each sample.

    ``shown`` has one value a sample for an angle, and one to three for rates.
    """

    file: str
    kind: Literal["angle", "rate"]
    time_s: list[float]
    shown: list[list[float]]
    rows: list[int]


class _Column(NamedTuple):
    name: str
    place: int
    factor: float
    unit: str


def read_trace(path: str, columns: str | None = None, units: str | None = None) -> TraceTable:
    """The trace in a file.

    Parameters
    ----------
    path
        A CSV file.
    columns
        ``t=NAME,angle=NAME``, or rates as ``rate=NAME`` or ``x=NAME,y=NAME,z=NAME``; by default
        columns are known by their names.
    units
        ``t=ms,angle=deg`` or ``t=s,rate=rad/s``; by default they stand in the names of columns.

    Raises
    ------
    CallError
        If the file cannot be read, or a column or its unit is not known.
    DocumentError
        With the rows that are wrong.
    """
    table = read_table(path)
    stated = _pairs(units, "--units", ("t", "angle", "rate"))
    named = _pairs(columns, "--columns", ROLES)
    time, shown = _chosen(table, named)
    kind: Literal["angle", "rate"] = "angle" if "angle" in shown else "rate"
    factors = [_column(table, "t", time, stated)]
    factors += [_column(table, kind, name, stated) for name in shown.values()]
    if len({each.unit for each in factors[1:]}) > 1:
        what = listed([f"{each.name} in {each.unit}" for each in factors[1:]], "and")
        hint = "log all axes in one unit, or state it: --units rate=deg/s"
        raise CallError(f"{table.file} has mixed units: {what}", hint=hint)
    return _read(table, kind, factors)


def _pairs(text: str | None, option: str, known: Sequence[str]) -> dict[str, str]:
    """``t=A,angle=B`` as a mapping; ``time`` is ``t``."""
    found: dict[str, str] = {}
    for part in text.split(",") if text else ():
        role, equals, value = (each.strip() for each in part.partition("="))
        role = "t" if role == "time" else role
        if not equals or not value:
            hint = f"write it as {option} t=...,angle=..."
            raise CallError(f"{quoted(part)} is no part of {option}", hint=hint)
        if role not in known:
            raise CallError(f"{quoted(role)} is no column of a trace", hint=mend_word(role, known))
        found[role] = value
    return found


def _chosen(table: Table, named: Mapping[str, str]) -> tuple[str, dict[str, str]]:
    """Names of the time's column, and of those that show the motion by role."""
    for role, name in named.items():
        _check_there(table, role, name)
    time = named.get("t") or _only(table, "t", _like(table, "time"))
    shown = {role: name for role, name in named.items() if role != "t"}
    if not shown:
        angles, rates = _like(table, "angle"), _like(table, "rate")
        if angles:
            shown = {"angle": _only(table, "angle", angles)}
        elif 1 <= len(rates) <= 3:
            shown = dict(zip("xyz", rates, strict=False))
        else:
            _only(table, "angle", rates)
    if "angle" in shown and len(shown) > 1:
        hint = "name the angle, or the rates"
        raise CallError("--columns names an angle and rates", hint=hint)
    return time, shown


def _check_there(table: Table, role: str, name: str) -> None:
    if name not in table.columns:
        hint = mend_word(name, table.columns)
        raise CallError(f"{table.file} has no column {quoted(name)} for {role}", hint=hint)


def _like(table: Table, what: str) -> list[str]:
    """Columns whose name without the unit has one of the words for something."""
    found = []
    for name in table.columns:
        words = set(re.findall(r"[a-z]+", _split(name)[0].casefold()))
        if words & _WORDS[what]:
            found.append(name)
    return found


def _only(table: Table, role: str, found: Sequence[str]) -> str:
    if len(found) == 1:
        return found[0]
    what = {"t": "the time", "angle": "the angle or the angular rates"}[role]
    if found:
        hint = f"say which: --columns {role}={found[0]}"
        raise CallError(f"{listed(found, 'and')} could each be {what}", hint=hint)
    there = listed(map(quoted, table.columns), "and")
    hint = f"its columns are {there}: say which, as --columns t=NAME,angle=NAME"
    raise CallError(f"{table.file} has no column for {what}", hint=hint)


def _split(name: str) -> tuple[str, str]:
    """A column's name, and the unit that stands in it."""
    match = re.fullmatch(r"(.*?)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]", name.strip())
    if match:
        return match[1], _spelled(match[2])
    tail = re.search(r"[_ ,](deg_s|rad_s|[^_ ,]+)$", name.strip())
    if tail and _spelled(tail[1]) in {*_TIME, *_ANGLE, *_RATE}:
        return name[: tail.start()], _spelled(tail[1])
    return name, ""


def _spelled(unit: str) -> str:
    plain = unit.strip().casefold()
    return _SPELLED.get(plain, plain)


def _column(table: Table, role: str, name: str, stated: Mapping[str, str]) -> _Column:
    """A column with what one of its unit is in SI."""
    unit = _spelled(stated[role]) if role in stated else _split(name)[1]
    known = _UNITS.get(role, _RATE)
    if not unit:
        first = next(iter(known))
        message = f"{table.file}: nothing says in which unit {quoted(name)} is"
        raise CallError(message, hint=f"add --units {role}={first}, or {listed([*known][1:])}")
    if unit not in known:
        message = f"{table.file}: {quoted(name)} is in {quoted(unit)}, which is no unit of it"
        raise CallError(message, hint=f"state it: --units {role}={listed(known)}")
    return _Column(name, table.columns.index(name), known[unit], unit)


def _read(table: Table, kind: Literal["angle", "rate"], columns: Sequence[_Column]) -> TraceTable:
    cells = ((row.number, row.cells[each.place]) for row in table.rows for each in columns)
    hint = "write the figures with more or fewer decimals, or with a point"
    mark = decimal_mark(cells, table.file, table.delimiter, hint)
    trace = TraceTable(table.file, kind, [], [], [])
    findings = list(table.findings[:_MOST_FINDINGS])
    for row in table.rows:
        values = [_number(figure(row.cells[each.place].strip(), mark)) for each in columns]
        if None in values:
            at = columns[values.index(None)]
            findings.append(_no_number(table.file, row.number, at, row.cells[at.place]))
        else:
            figures = [value * each.factor for value, each in zip(values, columns, strict=True)]  # type: ignore[operator]  # none is None
            findings.extend(_take(trace, row.number, figures[0], figures[1:]))
        if len(findings) >= _MOST_FINDINGS:
            break
    if not findings and len(trace.rows) < _FEWEST:
        findings.append(Finding(table.file, 0, f"{len(trace.rows)} samples are no trace"))
    if findings:
        raise refused(findings)
    return trace


def _no_number(file: str, row: int, column: _Column, cell: str) -> Finding:
    text = cell.strip()
    if not text:
        return Finding(file, row, f"{column.name} is empty", "leave the row out")
    found = re.fullmatch(r"[-+]?[0-9.,]+ *([^\d\s].*)", text)
    if found and _spelled(found[1]) in {*_TIME, *_ANGLE, *_RATE}:
        message = f"{quoted(text)} stands in a column that is in {column.unit}"
        return Finding(file, row, message, "write figures alone, all in one unit")
    return Finding(file, row, f"{column.name}: {quoted(text)} is no number", "write a figure")


def _take(trace: TraceTable, row: int, time: float, shown: list[float]) -> Iterator[Finding]:
    """Add a sample, or say why its time cannot be; a sample logged twice counts once."""
    if time < 0.0:
        yield Finding(trace.file, row, "the time is less than zero", "let it count from the start")
    elif trace.time_s and time < trace.time_s[-1]:
        message = f"the time goes back, from {trace.time_s[-1]:.6g} to {time:.6g} s"
        yield Finding(trace.file, row, message, "sort the rows by time, or cut the trace here")
    elif trace.time_s and time == trace.time_s[-1] and shown != trace.shown[-1]:
        message = f"two samples have the time {time:.6g} s"
        yield Finding(trace.file, row, message, "log the time more finely, or leave one out")
    elif not trace.time_s or time > trace.time_s[-1]:
        trace.time_s.append(time)
        trace.shown.append(shown)
        trace.rows.append(row)


def _number(text: str) -> float | None:
    """A plain figure."""
    if not re.fullmatch(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]{1,3})?", text):
        return None
    value = float(text)
    return value if isfinite(value) else None
