"""What `export` says: a table that spreadsheets open, each figure with its unit at the head."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.jobs.listing import Built, Read, Thing
from riglog.records import Component, PivotPair
from riglog.units import convert
from riglog.wording import readings, spreadsheet

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from riglog.jobs.export import ExportAnswer
    from riglog.jobs.listing import Row
    from riglog.records import Part, Setting
    from riglog.wording.spreadsheet import Cell

Cells = dict[str, "Cell"]


def say(answer: ExportAnswer) -> str:
    """The table."""
    return table(answer)


def table(answer: ExportAnswer) -> str:
    """Comma-separated values; columns that any row has, in the order in which they are met."""
    rows = list(map(_cells, answer.rows))
    heading = list(dict.fromkeys(name for row in rows for name in row)) or ["id"]
    return spreadsheet.text(heading, ([row.get(name) for name in heading] for row in rows))


def tell(answer: ExportAnswer) -> list[dict[str, Any]]:
    """An array with an object a row, its keys the columns of the table."""
    return [
        {
            name: cell if isinstance(cell, str) else spreadsheet.number(cell)
            for name, cell in row.items()
        }
        for row in map(_cells, answer.rows)
    ]


def _cells(row: Row) -> Cells:
    if isinstance(row, Built):
        return _build(row)
    if isinstance(row, Read):
        return _reading(row)
    assert isinstance(row, Thing)
    assert isinstance(row.noun, Component)
    return _component(row.noun, row.kept.version)


def _component(noun: Component, version: str) -> Cells:
    return {
        "id": noun.id,
        "kind": noun.kind,
        "mass (kg)": noun.mass,
        "mass_sd (g)": _in(noun.mass_sd, "g"),
        "by": noun.by,
        **_triple(noun.size, ("long (mm)", "wide (mm)", "tall (mm)")),
        "shape": noun.shape,
        **_triple(noun.cg, ("cg x (mm)", "cg y (mm)", "cg z (mm)")),
        "cg_sd (mm)": _in(noun.cg_sd, "mm"),
        "like": noun.like,
        "serial": noun.serial,
        "modified": noun.modified,
        "tags": "; ".join(noun.tags),
        "note": noun.note,
        "version": version,
    }


def _build(row: Built) -> Cells:
    noun = row.noun
    return {
        "id": noun.id,
        "rig": noun.rig,
        "mode": noun.mode,
        "wanted_drop (s)": noun.wanted_drop,
        "parts": "; ".join(map(_part, noun.parts)),
        "states": "; ".join(f"{part} {state}" for part, state in noun.states.items()),
        "head": noun.head,
        "tags": "; ".join(noun.tags),
        "note": noun.note,
        "version": row.kept.version,
        **_settings(noun.settings),
    }


def _part(part: Part) -> str:
    named = f" as {part.name}" if part.name else ""
    return f"{part.component} on {part.on}{named}"


def _reading(row: Read) -> Cells:
    told = readings.figures_json(row.noun)
    plain = {
        key: _joined(value) for key, value in told.items() if key not in {"on", "kind", "note"}
    }
    return {
        "build": row.noun.build,
        "version": row.kept.version,
        "kind": row.noun.kind,
        "on": row.noun.on,
        "author": row.kept.author,
        **_settings(row.noun.settings if row.mark is None else {"pivot": row.mark}),
        **plain,
        "note": row.noun.note,
        "entry": row.kept.entry,
    }


def _joined(value: Any) -> Cell:
    if isinstance(value, list):
        return "; ".join(f"{each:.6g}" if isinstance(each, float) else str(each) for each in value)
    return value if isinstance(value, str | float | int) or value is None else str(value)


def _settings(settings: Mapping[str, Setting]) -> Cells:
    cells: Cells = {}
    for name, setting in settings.items():
        if isinstance(setting, PivotPair):
            cells[f"settings.{name}.left (mm)"] = _in(setting.left, "mm")
            cells[f"settings.{name}.right (mm)"] = _in(setting.right, "mm")
        else:
            cells[f"settings.{name} (mm)"] = _in(setting, "mm")
    return cells


def _triple(values: Sequence[float] | None, names: Iterable[str]) -> Cells:
    found = values or (None, None, None)
    return {name: _in(value, "mm") for name, value in zip(names, found, strict=True)}


def _in(value_si: float | None, symbol: str) -> float | None:
    return None if value_si is None else convert(value_si, symbol)
