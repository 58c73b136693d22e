"""Values of fields as documents write them, on one line."""

from __future__ import annotations

from typing import Any

from riglog.wording import layout


def value(told: Any) -> str:
    """A value in a few words; a part says where it sits, and how."""
    if told is None:
        return "nothing"
    if isinstance(told, dict):
        return _part(told) if "component" in told else _pairs(told)
    if isinstance(told, list):
        return ", ".join(map(_item, told))
    return layout.harmless(" ".join(str(told).split()))


def _part(told: dict[str, Any]) -> str:
    rest = {key: each for key, each in told.items() if key not in {"component", "as", "on"}}
    return ", ".join([f"on {told['on']}", *([_pairs(rest)] if rest else [])])


def _pairs(told: dict[str, Any]) -> str:
    return ", ".join(f"{key} {_item(each)}" for key, each in told.items())


def _item(told: Any) -> str:
    """A value inside another, in the brackets that a document has there."""
    if isinstance(told, dict) and "component" in told:
        return f"{told.get('as') or told['component']} {_part(told)}"
    if isinstance(told, dict):
        return f"{{{_pairs(told)}}}"
    return f"[{value(told)}]" if isinstance(told, list) else value(told)
