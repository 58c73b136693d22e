"""How people say the conditions that keep a reading out of the fit."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from riglog.records.readings.measured import Condition

SAID: Mapping[str, Condition] = {
    "wind": "wind", "windy": "wind", "gusty": "wind", "gusts": "wind", "tether": "tether",
    "tethered": "tether", "rain-cover": "rain-cover", "raincover": "rain-cover",
}  # fmt: skip
