"""The whole on a scale."""

from dataclasses import dataclass
from typing import Literal

from riglog.records.readings.measured import Mass, Measured


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Weight(Measured):
    """Mass of the whole build as it hangs, all that its parts list, tilting or not."""

    kind: Literal["weight"] = "weight"
    mass: Mass
    sd: Mass | None = None
