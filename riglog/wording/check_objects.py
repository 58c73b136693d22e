"""The parts of what `check --json` prints."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording import kept, objects, readings

if TYPE_CHECKING:
    from collections.abc import Mapping

    from riglog.jobs.answers import Value
    from riglog.jobs.check_answers import CheckedReading, Disputed, Said

# The unit of each figure; one on the pivot's scale is in millimeters.
SYMBOLS: Mapping[str, str] = {
    "drop": "s", "mass": "kg", "lean": "deg", "side": "deg", "hold": "deg", "pan": "deg",
}  # fmt: skip


def reading(checked: CheckedReading) -> dict[str, Any]:
    """A reading, and each figure of it with what was expected."""
    read = checked.read
    return {
        "entry": read.kept.entry,
        "version": kept.number(read.kept.version),
        "name": read.kept.version,
        "kind": read.noun.kind,
        "on": read.noun.on,
        "author": read.kept.author,
        **readings.mark_json(read.mark),
        "stands_out": checked.stands_out,
        "slip_probability": checked.wild,
        "conditions": list(checked.kept_out),
        "said": [_said_json(each) for each in checked.said],
    }


def _said_json(said: Said) -> dict[str, Any]:
    symbol = SYMBOLS.get(said.what, "mm")
    key = f"{said.what}_{symbol}"
    return {
        "what": said.what,
        key: objects.number(said.figure, symbol),
        "before": _expected_json(key, symbol, said.before, said.deviations_before),
        "now": _expected_json(key, symbol, said.now, said.deviations),
    }


def _expected_json(
    key: str, symbol: str, expected: Value | None, deviations: float | None
) -> dict[str, Any] | None:
    if expected is None:
        return None
    return {key: objects.value(expected, symbol), "deviations": deviations}


def disputed(found: Disputed) -> dict[str, Any]:
    """A component, its weighings, and what they come to."""
    weighings = [
        {
            "mass_kg": objects.number(each.mass_kg, "kg"),
            "mass_sd_kg": objects.number(each.sd_kg, "kg"),
            "author": each.author,
            "at": each.at,
            "by": each.by,
            "entry": each.entry,
        }
        for each in found.weighings
    ]
    return {
        "component": found.component,
        "mass_kg": objects.number(found.mass_kg, "kg"),
        "mass_sd_kg": objects.number(found.sd_kg, "kg"),
        "deviations": found.deviations,
        "weighings": weighings,
    }
