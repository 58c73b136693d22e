"""Readings in one line, and as JSON."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from riglog.records import PivotPair
from riglog.records.readings.measured import HORIZONTAL
from riglog.units import convert
from riglog.wording import figures, masses, objects

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from riglog.jobs.answers import Move
    from riglog.records import Adjuster, Drop, Reading, Setting, Swing
    from riglog.wording.objects import Json

# Figures of readings, by attribute: unit of the people that read JSON.
_SYMBOLS: Mapping[str, str] = {
    "times": "s", "release": "deg", "stop": "deg", "mass": "kg", "at": "mm", "within": "deg",
    "lean": "deg", "side": "deg", "pan": "deg", "time": "s", "start": "deg", "end": "deg",
    "stays": "deg", "falls": "deg",
}  # fmt: skip
# What was measured says of itself of what kind it is.
_SAY_THEIR_KIND = frozenset({"lean", "swing", "balance-point"})
_SPREADS: Mapping[str, str] = {"drop": "s", "weight": "kg", "balance-point": "mm", "lean": "deg"}
_PLAIN = ("swings", "lens_end", "turns", "method", "timed_to", "nose", "fps", "head", "note")


def figures_of(reading: Reading, pivot: Adjuster) -> str:
    """What was measured, and under what: ``3.1, 3.0, 3.2 s``, ``17.2 kg (tether)``."""
    under = f" ({', '.join(reading.conditions)})" if reading.conditions else ""
    return f"{_measured(reading, pivot)}{under}"


def line(reading: Reading, pivot: Adjuster) -> str:
    """A reading among others: of what kind it is, once, and what was measured."""
    told = figures_of(reading, pivot)
    if reading.kind == "hangs-upright":
        return f"upright {told}"
    return told if reading.kind in _SAY_THEIR_KIND else f"{reading.kind} {told}"


def _measured(reading: Reading, pivot: Adjuster) -> str:
    match reading.kind:
        case "drop":
            return _drop(reading)
        case "weight":
            symbol = masses.large(pivot.unit)
            return f"{_figure(reading.mass, symbol)} {symbol}"
        case "balance-point":
            return f"balances at {figures.setting(reading.at, pivot)}"
        case "swing":
            return _swing(reading)
        case "spin":
            rate = f"{reading.turns:.6g} turns in {_figure(reading.time, 's')} s"
            return f"lens end {reading.lens_end}, {rate}"
        case _:
            return _angles(_NAMED_ANGLES[reading.kind], reading)


# Angles of a reading, by attribute, as its line names them.
_NAMED_ANGLES: Mapping[str, Mapping[str, str]] = {
    "hangs-upright": {"within": "within"},
    "lean": {"lean": "lean", "side": "side", "pan": "pan"},
    "hold": {"stays": "stays at", "falls": "falls at"},
}


def _drop(drop: Drop) -> str:
    times = f"{', '.join(_alike(drop.times))} s"
    nose = f"nose {drop.nose}" if drop.nose else ""
    angle = _figure(drop.release, "deg")
    release = f"from {angle} deg" if drop.release != HORIZONTAL else ""
    method = drop.method if drop.method != "stopwatch" else ""
    to = "to the far side" if drop.timed_to == "far-side" else ""
    return ", ".join(filter(None, (times, to, nose, release, method)))


def _swing(swing: Swing) -> str:
    """Of those that die away also from where to where: ``5 swings in 14 s, 20 to 8 deg``."""
    swings = f"{swing.swings} swing{'' if swing.swings == 1 else 's'}"
    told = f"{swings} in {_figure(swing.time, 's')} s"
    if swing.end is None:
        return told
    return f"{told}, {_figure(swing.start, 'deg')} to {_figure(swing.end, 'deg')} deg"


def _alike(times_s: Sequence[float]) -> list[str]:
    """Times at as many decimals as the finest of them was written with, and at one at least."""
    decimals = max(len(_figure(time, "s").partition(".")[2]) for time in times_s)
    return [f"{time:.{max(decimals, 1)}f}" for time in times_s]


def _angles(named: Mapping[str, str], reading: Reading) -> str:
    angles = ((name, getattr(reading, attribute)) for attribute, name in named.items())
    return ", ".join(
        f"{name} {_figure(angle, 'deg')} deg" for name, angle in angles if angle is not None
    )


def _figure(value_si: float, symbol: str) -> str:
    """A figure as it was written down, as far as a person could have."""
    return f"{convert(value_si, symbol) + 0.0:.6g}"  # never -0


def mark(setting: Setting | None, pivot: Adjuster) -> str:
    """Where a pivot stood, as its scale shows it; a ring's two sides with a stroke between.

    In inches each side has its unit: 3/4 in would be three quarters of one.
    """
    if setting is None:
        return "-"
    if isinstance(setting, PivotPair):
        if setting.left == setting.right:
            return figures.setting(setting.left, pivot)
        shown = figures.setting if pivot.unit == "in" else figures.reading
        return f"{shown(setting.left, pivot)}/{figures.setting(setting.right, pivot)}"
    return figures.setting(setting, pivot)


def mark_json(setting: Setting | None, name: str = "pivot") -> dict[str, float | None]:
    """A setting in millimeters; of a ring, the mean and both sides."""
    if isinstance(setting, PivotPair):
        mean = (setting.left + setting.right) / 2
        return {
            f"{name}_mm": objects.number(mean, "mm"),
            f"{name}_left_mm": objects.number(setting.left, "mm"),
            f"{name}_right_mm": objects.number(setting.right, "mm"),
        }
    return {f"{name}_mm": objects.number(setting, "mm")}


def setting(move: Move) -> Json:
    """One adjuster as JSON has it."""
    return {
        "adjuster": move.name,
        **mark_json(move.from_m if move.sides is None else move.sides, "from"),
        "to_mm": objects.number(move.to_m, "mm"),
        "move_mm": objects.number(move.move_m, "mm"),
        "low_mm": objects.number(move.low_m, "mm"),
        "high_mm": objects.number(move.high_m, "mm"),
        "set_mm": objects.number(move.set_m, "mm"),
        "toward": move.toward,
        "free": move.free,
    }


def figures_json(reading: Reading) -> dict[str, Any]:
    """What was measured and how, each figure in the unit that its key ends in."""
    found: dict[str, Any] = {"kind": reading.kind, "on": reading.on}
    for spec in fields(reading):
        value = getattr(reading, spec.name)
        if spec.name in _PLAIN:
            found[spec.name] = value
        elif symbol := _symbol(reading.kind, spec.name):
            found[f"{spec.name}_{symbol}"] = _numbers(value, symbol)
    return found | {"conditions": list(reading.conditions), "tags": list(reading.tags)}


def _symbol(kind: str, name: str) -> str | None:
    return _SPREADS.get(kind) if name == "sd" else _SYMBOLS.get(name)


def _numbers(value: float | Sequence[float] | None, symbol: str) -> Any:
    if isinstance(value, tuple):
        return [objects.number(each, symbol) for each in value]
    assert not isinstance(value, list)
    return objects.number(value, symbol)  # type: ignore[arg-type]  # one figure, or none
